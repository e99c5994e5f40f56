// Whether a picture was taken at the tap for which it came, and what its file tells else. Pure.

import type { Told } from "./exif.ts";
import type { Shot } from "./pendingphotos.ts";

/** A file's time may be rounded, and the camera's clock read apart from the page's. Common practice, no source. */
const earlyMS = 5_000;

/** As long as a camera may stay open for one picture; after that the officer may have walked on. Common practice, no source. */
const lateMS = 10 * 60_000;

/**
 * One of the camera that the page opened is, when it is of the time after the tap: by what the
 * camera wrote into it, or else by its file. The file of one of the gallery tells when it was
 * copied there, so that only what the camera wrote counts.
 */
export function ofTheTap(shot: Shot, from: "camera" | "gallery", told: Told, fileMS: number, nowMS: number): boolean {
  if (shot.gallery) return false;
  const takenMS = told.takenAt !== undefined ? new Date(told.takenAt).getTime() : from === "camera" ? fileMS : NaN;
  return takenMS >= shot.atMS - earlyMS && takenMS <= Math.min(nowMS + earlyMS, shot.atMS + lateMS);
}

/** The day that a picture tells of itself; undefined when it tells none, or one that is still to come. */
export function dayTold(told: Told, today: string): string | undefined {
  const day = told.takenAt?.slice(0, 10);
  return day !== undefined && day <= today ? day : undefined;
}
