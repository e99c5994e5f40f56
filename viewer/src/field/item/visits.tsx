// The visits to an item, each with its day, what was measured, its notes and its photos.

import { day } from "../../base/words.ts";
import { type Feature, textOf } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { album } from "../../base/album.ts";
import { Album } from "../part/photoview.tsx";
import type { CoverRanges } from "../../survey/visit/cover.ts";
import type { PastVisit } from "../../survey/visit/visits.ts";
import { visitWords } from "../../item/condition.tsx";

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
