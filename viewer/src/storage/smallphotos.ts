// The bytes of a photo to show: from this device where it was taken here, else the small version
// that the server makes, which is kept on the device for the days without signal, or the server's own.

import { cachePrefix } from "../base/page.ts";
import type { Store } from "./store.ts";

/** Where small versions are kept: an open standard's cache, apart from what was captured. */
export const smallCache = `${cachePrefix}photos-small`;
export const smallAddress = (sha: string): string => `/photos/${sha}?small=1`;

export interface Found {
  readonly blob: Blob;
  readonly waits: boolean; // it was taken here and the server does not have it yet
}

/** The picture of a photo, undefined when it is neither on the phone nor to be had. */
export async function pictureOf(store: Store, feature: string, sha: string): Promise<Found | undefined> {
  const mine = (await store.photos(feature)).find((p) => p.sha === sha);
  const bytes = await mine?.bytes().catch(() => undefined);
  if (mine && bytes) return { blob: new Blob([bytes], { type: "image/jpeg" }), waits: !mine.sent };
  const blob = await smallPicture(store, sha);
  return blob && { blob, waits: false };
}

export async function smallPicture(store: Store, sha: string): Promise<Blob | undefined> {
  const kept = await caches.open(smallCache).catch(() => undefined);
  const known = await kept?.match(smallAddress(sha));
  if (known) return known.blob();
  return fromServer(store, smallAddress(sha), async (answer) => {
    await kept?.put(smallAddress(sha), answer.clone()).catch(() => {}); // no room: it is fetched again
  });
}

/** The photo as the server has it, as large as it was taken; undefined where it does not answer. It is not kept. */
export async function wholePicture(store: Store, sha: string): Promise<Found | undefined> {
  const blob = await fromServer(store, `/photos/${sha}`);
  return blob && { blob, waits: false };
}

async function fromServer(store: Store, address: string, keep?: (answer: Response) => Promise<void>): Promise<Blob | undefined> {
  const token = store.self()?.token;
  if (!token) return undefined;
  try {
    const answer = await fetch(address, { headers: { Authorization: `Bearer ${token}` } });
    if (!answer.ok) return undefined;
    await keep?.(answer);
    return await answer.blob();
  } catch {
    return undefined; // no signal
  }
}
