// The visits to an item, each with its day, what was measured, its notes and its photos, and the
// other photos of the item.

import { album } from "../base/album.ts";
import { type Feature, kindOf, textOf } from "../base/entry.ts";
import { day } from "../base/words.ts";
import type { Store } from "../storage/store.ts";
import type { CoverRanges } from "../survey/visit/cover.ts";
import { type PastVisit, visitsTo } from "../survey/visit/visits.ts";
import { visitWords } from "./condition.tsx";
import { Album } from "./photoview.tsx";

interface PhotosProps {
  readonly of: Feature;
  readonly features: readonly Feature[]; // of its property
  readonly store: Store;
  readonly photo: (sha: string) => string; // the address at which a photo opens large
  readonly visits: readonly PastVisit[]; // oldest first
}

interface VisitsProps extends PhotosProps {
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
          const pictures = picturesAt(of.id, past, features);
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

/** The photos of a visit: its own, and those that are kept as records of its day. */
function picturesAt(of: string, past: PastVisit, features: readonly Feature[]): ReturnType<typeof album> {
  const records = new Set([past.id, ...past.photoRecords]);
  return album(
    of,
    features.filter((f) => records.has(f.id)),
  );
}

/** The photos of an item that do not stand with its visits, or those of a visit. */
export function Photos({ of: item, features, store, photo, visits }: PhotosProps) {
  const of = textOf(item, "of");
  const past = kindOf(item) === "visit" ? visitsTo(of, features).find((l) => l.id === item.id) : undefined;
  const atVisits = new Set(visits.flatMap((l) => l.photos));
  const pictures = past ? picturesAt(of, past, features) : album(item.id, features).filter((picture) => !atVisits.has(picture.sha));
  if (pictures.length === 0) return null;
  return (
    <>
      <h2>{atVisits.size > 0 ? "Other photos" : "Photos"}</h2>
      <Album store={store} pictures={pictures} to={photo} />
    </>
  );
}
