// The visits to an item, each with its day, what was measured, its notes and its photos, and all
// photos of the item.

import { album } from "../base/album.ts";
import { type Feature, textOf } from "../base/entry.ts";
import { day } from "../base/words.ts";
import type { Store } from "../storage/store.ts";
import type { CoverRanges } from "../survey/visit/cover.ts";
import type { PastVisit } from "../survey/visit/visits.ts";
import { visitWords } from "./condition.tsx";
import { Album } from "./photoview.tsx";

interface PhotosProps {
  readonly of: Feature;
  readonly features: readonly Feature[]; // of its property
  readonly store: Store;
  readonly photo: (sha: string) => string; // the address at which a photo opens large
}

interface VisitsProps extends PhotosProps {
  readonly visits: readonly PastVisit[]; // oldest first
  readonly ranges: CoverRanges | undefined;
  readonly visit?: (id: string) => string; // the address of a visit, where it has one
}

/** The visits, newest first. */
export function Visits({ of, features, store, photo, visits, ranges, visit: page }: VisitsProps) {
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
                {page ? <a href={page(past.id)}>{day(past.on)}</a> : <b>{day(past.on)}</b>}
                {visitWords(past) && `: ${visitWords(past, ranges?.get(past.id))}`}
              </p>
              {notes && <p class="soft">{notes}</p>}
              {pictures.length > 0 && <Album store={store} pictures={pictures} to={photo} />}
            </li>
          );
        })}
      </ol>
    </>
  );
}

export function Photos({ of, features, store, photo }: PhotosProps) {
  const pictures = album(of.id, features);
  if (pictures.length === 0) return null;
  return (
    <>
      <h2>Photos</h2>
      <Album store={store} pictures={pictures} to={photo} />
    </>
  );
}
