// What visits found of an item: its newest condition, and all of them, each with its day,
// what was measured, its notes and its photos.

import { fieldNamed } from "../../base/kinds.ts";
import { day } from "../../base/words.ts";
import { type Feature, textOf } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { album } from "../../base/album.ts";
import { Album } from "../part/photoview.tsx";
import type { CoverRanges } from "../../survey/visit/cover.ts";
import type { Look } from "../../survey/visit/visits.ts";
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

/** The visits, newest first; looks are oldest first. */
export function Visits({ of, looks, ranges }: { of: Feature; looks: readonly Look[]; ranges: CoverRanges }) {
  const { features } = useField();
  if (looks.length === 0) return null;
  return (
    <>
      <h2 id="visits">Visits</h2>
      <ol class="visits" aria-labelledby="visits">
        {[...looks].reverse().map((look) => {
          const visit = features.find((f) => f.id === look.id);
          const pictures = visit ? album(of.id, [visit]) : [];
          const notes = visit ? textOf(visit, "notes") : "";
          return (
            <li key={look.id}>
              <p>
                <a href={`#/thing/${look.id}`}>{day(look.on)}</a>
                {lookWords(look) && `: ${lookWords(look, ranges.get(look.id))}`}
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
export function lookWords(look: Look, range?: string): string {
  const measured = (["sedimentDepthM", "headOffsetM", "coverPct"] as const).flatMap((name) => {
    const field = fieldNamed("visit", name);
    return look[name] === undefined ? [] : [`${field.label.toLowerCase()} ${measuredText(name, look[name], range)}`];
  });
  return [look.condition, ...measured, look.head ? "position of the head taken" : ""].filter(Boolean).join(", ");
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
