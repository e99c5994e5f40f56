// What a photo becomes in the register: a visit to the thing it shows, with the place,
// time and direction of our own receiver and compass at the tap. What the camera wrote into
// the file is not trusted: phones strip it, and bringing a photo to size drops it.
//
// A photo is a feature of its own, so that two officers who photograph one gully head never
// clash over a list of photos.

import type { Draft } from "../shelf.ts";
import { dayOf } from "../app/words.ts";
import type { Shot } from "./roll.ts";

export function pictureDraft(shot: Shot, bytes: ArrayBuffer): Draft {
  const at = new Date(shot.atMS);
  return {
    feature: shot.id,
    set: {
      kind: "visit",
      of: shot.of,
      observedOn: dayOf(at),
      ...shot.stand,
      ...(shot.bearingDeg === undefined ? {} : { bearingDeg: Math.round(shot.bearingDeg * 10) / 10 }),
    },
    photo: { bytes, takenFor: shot.id },
    seenAt: at,
  };
}
