// What the numbers of the status mean: pure.

import type { Storage } from "../app/state.ts";
import type { LinkState } from "../field.ts";

/** From when a clock is told to be off: entries are ordered by it where nobody saw the other's. */
export const clockDoubtS = 60;

/** Words about a clock that is off; "" when it is right or nobody has compared it yet. */
export function clockWords(link: LinkState | null): string {
  const off = link?.clockOffS ?? 0;
  if (Math.abs(off) < clockDoubtS) return "";
  const way = off > 0 ? "ahead of" : "behind";
  return `This phone's clock is ${lengthWords(Math.abs(off))} ${way} the server's. Set it by the network: what is recorded carries its time.`;
}

function lengthWords(s: number): string {
  if (s < 5400) return `${Math.round(s / 60)} minutes`;
  if (s < 129_600) return `${Math.round(s / 3600)} hours`;
  return `${Math.round(s / 86_400)} days`;
}

/** A day of photos: 200 of 600 kB. */
const dayOfPhotos = 120e6;

export const scarce = (storage: Storage | null): boolean => storage?.freeBytes !== undefined && storage.freeBytes < dayOfPhotos;
