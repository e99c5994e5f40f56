// The visits to a feature, as far as forms and lists need them. The phone keeps each photo as a
// record of its own, so that nobody clashes over a list of photos and each has its own place:
// those of the day of a visit are read as part of it, whoever took them and whenever they come.
// A photo of another day is a record too, but nobody judged the work by it. Pure.

import { isBasis, type Basis } from "../../base/basis.ts";
import { fieldNamed, wordNow } from "../../base/kinds.ts";
import { isPhoto } from "../../base/names.ts";
import { compare, dayOf } from "../../base/words.ts";
import { kindOf, numberOf, placeOf, stampedAt, textOf, type Feature } from "../../base/entry.ts";
import { photosOf } from "../../base/album.ts";

export interface PastVisit {
  readonly id: string;
  readonly on: string; // day; "" for a photo whose day is not known
  readonly stamp: string;
  readonly condition: string; // "" when not judged
  readonly sedimentDepthM?: number;
  readonly headOffsetM?: number;
  readonly head?: { readonly position: readonly [number, number]; readonly accuracyM?: number; readonly basis?: Basis };
  readonly coverPct?: number;
  readonly photos: readonly string[];
  readonly photoRecords: readonly string[]; // the features that keep those of its day, besides its own
}

/** By the thing they are of, the visits to it, oldest first. */
export function visitsByThing(features: readonly Feature[]): ReadonlyMap<string, readonly PastVisit[]> {
  const all = new Map<string, PastVisit[]>();
  for (const f of features) {
    const of = textOf(f, "of");
    if (f.struck || kindOf(f) !== "visit" || of === "") continue;
    all.set(of, [...(all.get(of) ?? []), pastVisit(f)]);
  }
  // Visits of one day stand as their ids, which begin with the time.
  for (const [of, visits] of all) {
    visits.sort((a, b) => compare(a.on, b.on) || compare(a.id, b.id));
    all.set(of, withPhotos(visits));
  }
  return all;
}

/** Each photo of the day of a visit as part of it: of the last before it where there were two. */
function withPhotos(visits: readonly PastVisit[]): PastVisit[] {
  const part = new Map<string, PastVisit[]>();
  for (const photo of visits.filter((l) => l.photos.length > 0 && l.on !== "" && !judged(l))) {
    const ofDay = visits.filter((l) => l.on === photo.on && judged(l));
    const to = lastOf(ofDay.filter((l) => l.id < photo.id)) ?? ofDay[0];
    if (to) part.set(to.id, [...(part.get(to.id) ?? []), photo]);
  }
  const within = new Set([...part.values()].flat());
  return visits
    .filter((l) => !within.has(l))
    .map((l) => {
      const photos = part.get(l.id);
      return photos ? { ...l, photos: [...new Set([l, ...photos].flatMap((p) => p.photos))], photoRecords: photos.map((p) => p.id) } : l;
    });
}

export const visitsTo = (of: string, features: readonly Feature[]): readonly PastVisit[] => visitsByThing(features).get(of) ?? [];

function pastVisit(f: Feature): PastVisit {
  const measured = {
    sedimentDepthM: numberOf(f, "sedimentDepthM"),
    headOffsetM: numberOf(f, "headOffsetM"),
    coverPct: numberOf(f, "coverPct"),
  };
  const photos = photosOf(f);
  const place = placeOf(f);
  const accuracyM = numberOf(f, "accuracyM");
  const at = stampedAt(f);
  // The place of a photo is where the camera stood, not where the head is.
  const head =
    place?.type === "Point" && photos.length === 0
      ? { position: place.coordinates, ...(accuracyM === undefined ? {} : { accuracyM }), ...basisOfPlace(f) }
      : undefined;
  return {
    id: f.id,
    on: textOf(f, "observedOn") || (at && !isPhoto(f) ? dayOf(at) : ""), // a picture may be older than its entry
    stamp: f.stamp,
    condition: wordNow(fieldNamed("visit", "condition"), textOf(f, "condition")),
    ...Object.fromEntries(Object.entries(measured).filter(([, v]) => v !== undefined)),
    ...(head ? { head } : {}),
    photos,
    photoRecords: [],
  };
}

/** How the place of a feature came about, where that was recorded. */
export function basisOfPlace(f: Feature): { basis?: Basis } {
  const basis = textOf(f, "positionBasis");
  return isBasis(basis) ? { basis } : {};
}

export const lastOf = <T>(list: readonly T[]): T | undefined => list[list.length - 1];

/** Whether somebody looked at the thing, and did not only photograph it. */
export const judged = (l: PastVisit): boolean =>
  l.condition !== "" || l.sedimentDepthM !== undefined || l.headOffsetM !== undefined || l.coverPct !== undefined || l.head !== undefined;
