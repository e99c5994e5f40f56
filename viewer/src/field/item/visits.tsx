// What visits found of an item: its newest condition, and all of them, each with its day,
// what was measured, its notes and its photos.

import { fieldNamed } from "../../base/kinds.ts";
import { day } from "../../base/words.ts";
import { type Feature, textOf } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { album } from "../../base/album.ts";
import { Album } from "../part/photoview.tsx";
import type { CoverRanges } from "../../survey/visit/cover.ts";
import type { PastVisit } from "../../survey/visit/visits.ts";
import { measuredText, type Newest } from "../../survey/visit/newest.ts";

const sentence = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** "Needs work", large, with the day on which somebody saw it. */
export function Condition({ newest }: { newest: Newest | undefined }) {
  if (!newest?.condition) return newest?.on ? <p class="condition soft">Last visited {day(newest.on)}</p> : null;
  return (
    <p class={`condition ${newest.condition === "needs work" || newest.condition === "failed" ? "bad" : ""}`}>
      <b>{sentence(newest.condition)}</b> on {day(newest.conditionOn ?? "")}
    </p>
  );
}

/** The visits, newest first; visits come oldest first. */
export function Visits({ of, visits, ranges }: { of: Feature; visits: readonly PastVisit[]; ranges: CoverRanges }) {
  const { features } = useField();
  if (visits.length === 0) return null;
  return (
    <>
      <h2 id="visits">Visits</h2>
      <ol class="visits" aria-labelledby="visits">
        {[...visits].reverse().map((past) => {
          const visit = features.find((f) => f.id === past.id);
          const pictures = visit ? album(of.id, [visit]) : [];
          const notes = visit ? textOf(visit, "notes") : "";
          return (
            <li key={past.id}>
              <p>
                <a href={`#/thing/${past.id}`}>{day(past.on)}</a>
                {visitWords(past) && `: ${visitWords(past, ranges.get(past.id))}`}
              </p>
              {notes && <p class="soft">{notes}</p>}
              {pictures.length > 0 && <Album of={of.id} pictures={pictures} />}
            </li>
          );
        })}
      </ol>
    </>
  );
}

/** "needs work, sediment caught 0.31 m". */
export function visitWords(past: PastVisit, range?: string): string {
  const measured = (["sedimentDepthM", "headOffsetM", "coverPct"] as const).flatMap((name) => {
    const field = fieldNamed("visit", name);
    return past[name] === undefined ? [] : [`${field.label.toLowerCase()} ${measuredText(name, past[name], range)}`];
  });
  return [past.condition, ...measured, past.head ? "position of the head taken" : ""].filter(Boolean).join(", ");
}

export function Photos({ feature }: { feature: Feature }) {
  const { features } = useField();
  const pictures = album(feature.id, features);
  if (pictures.length === 0) return null;
  return (
    <>
      <h2>Photos</h2>
      <Album of={feature.id} pictures={pictures} />
    </>
  );
}
