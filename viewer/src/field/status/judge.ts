// What the numbers of the status mean: pure.

import type { Storage } from "../../storage/persistence.ts";
import { count, grouped } from "../../base/words.ts";
import type { SyncState } from "../../sync/state.ts";
import type { Copied, Counts } from "../../storage/store.ts";

/** From when a clock is told to be off: entries are ordered by it where nobody saw the other's. */
export const clockDoubtS = 60;

/** Words about a clock that is off; "" when it is right or nobody has compared it yet. */
export function clockWords(sync: SyncState | null): string {
  const off = sync?.clockOffS ?? 0;
  if (Math.abs(off) < clockDoubtS) return "";
  const way = off > 0 ? "ahead of" : "behind";
  return `This phone's clock is ${lengthWords(Math.abs(off))} ${way} the server's. Set it by the network: what is recorded carries its time.`;
}

function lengthWords(s: number): string {
  if (s < 5400) return `${Math.round(s / 60)} minutes`;
  if (s < 129_600) return `${Math.round(s / 3600)} hours`;
  return `${Math.round(s / 86_400)} days`;
}

/** A photo as it is kept, and as many as an officer takes in a day. */
const photoBytes = 600e3;
const dayOfPhotos = 200;

/** How many photos there would be room for at most; undefined where the browser does not say. */
function photosAtMost(storage: Storage | null): number | undefined {
  return storage?.freeBytes === undefined ? undefined : Math.floor(storage.freeBytes / photoBytes);
}

/**
 * How much room there is. Browsers guess, and some name the same room whatever the phone
 * has, so it is never more than "at most", and no finer than the guess deserves.
 */
export function roomWords(storage: Storage): string {
  const photos = photosAtMost(storage);
  if (photos === undefined) return "the browser does not say";
  if (photos === 0) return "none";
  return `at most ${grouped(coarse(photos))}; the browser only guesses`;
}

/** Words for when room is low; "" while it is not known to be. */
export function scarceWords(storage: Storage | null): string {
  const photos = photosAtMost(storage);
  if (photos === undefined || photos >= dayOfPhotos) return "";
  const room =
    photos === 0 ? "There is no room for another photo." : `Room is low: at most ${count(coarse(photos), "more photo", "more photos")}.`;
  return `${room} Photos stop first; entries can still be saved. Send, then clear other files from the phone.`;
}

/** Two figures, rounded down. */
function coarse(n: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(n)) - 1);
  return Math.floor(n / step) * step;
}

/** How much of what waits is in a second place; undefined until both are known. */
export function copyWords(counts: Counts | null, copied: Copied | null | undefined): string | undefined {
  if (!counts || copied === undefined) return undefined;
  const entries = counts.unsent + counts.refused,
    photos = counts.photosUnsent;
  if (entries + photos === 0) return "not needed: everything is sent";
  if (copied === null) return "no: this browser cannot keep one";
  if (copied.entries >= entries && copied.photos >= photos) return "yes, of all not sent yet";
  const part = (has: number, of: number, one: string, more: string) => `${Math.min(has, of)} of ${count(of, one, more)}`;
  return [part(copied.entries, entries, "entry", "entries"), ...(photos > 0 ? [part(copied.photos, photos, "photo", "photos")] : [])].join(
    ", ",
  );
}
