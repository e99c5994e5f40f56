// What a photo becomes in the register: an entry that belongs to the thing it shows. One that
// was taken at the tap has the place, time and direction of our own receiver and compass. One
// of another time has the day that its file tells or the officer gave, or none, and the place
// that its file tells, or none: never those of the moment at which it was chosen.
//
// A photo is a feature of its own, so that two officers who photograph one gully head never
// clash over a list of photos.

import type { Fields } from "../../base/entry.ts";
import type { Draft } from "../../storage/store.ts";
import { dayOf } from "../../base/words.ts";
import { rounded } from "../../base/number.ts";
import type { Chosen, Shot } from "./pendingphotos.ts";

export function pictureDraft(shot: Shot, bytes: ArrayBuffer): Draft {
  const at = new Date(shot.atMS);
  return {
    feature: shot.id,
    set: { kind: "visit", of: shot.of, ...(shot.from ? ofAnotherTime(shot.from) : ofTheTap(shot, at)) },
    photo: { bytes, takenFor: shot.id },
    seenAt: at,
  };
}

const ofTheTap = ({ stand, bearingDeg }: Shot, at: Date): Fields => ({
  observedOn: dayOf(at),
  ...stand,
  ...(bearingDeg === undefined ? {} : { bearingDeg: Math.round(bearingDeg * 10) / 10 }),
});

/** Under "picture" it keeps that the photo was chosen from the gallery, and what of it the camera wrote. */
function ofAnotherTime({ told, answer }: Chosen): Fields {
  const place = answer?.placed ? told.place : undefined;
  return {
    ...(answer?.on ? { observedOn: answer.on } : {}),
    ...(place ? { geometry: { type: "Point", coordinates: [rounded(place.lon, 9), rounded(place.lat, 9)] }, positionBasis: "GPS" } : {}),
    ...(place?.accuracyM === undefined ? {} : { accuracyM: rounded(place.accuracyM, 2) }),
    picture: { from: "gallery", ...(told.takenAt ? { takenAt: told.takenAt } : {}), ...(place ? { placed: true } : {}) },
  };
}
