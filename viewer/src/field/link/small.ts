// Brings the small versions of a property's photos onto the phone, for the days without
// signal. They come last, and one that cannot be had now is tried on the next connection.

import { smallAddress, smallCache, smallPicture } from "../picture/small.ts";
import { photosOf } from "../picture/album.ts";
import type { Shelf } from "../shelf.ts";

export async function loadSmallPhotos(shelf: Shelf, property: string, goOn: () => boolean, told: (got: number, of: number) => void): Promise<void> {
  const cache = await caches.open(smallCache);
  const features = (await shelf.features(property)).filter((f) => !f.struck);
  const lacking: string[] = [];
  for (const feature of features) {
    const named = photosOf(feature);
    if (named.length === 0) continue;
    const own = new Set((await shelf.photos(feature.id)).map((p) => p.sha));
    for (const sha of named) {
      if (!own.has(sha) && !lacking.includes(sha) && !(await cache.match(smallAddress(sha)))) lacking.push(sha);
    }
  }
  let got = 0;
  for (const sha of lacking) {
    if (!goOn()) return;
    told(got, lacking.length);
    if (await smallPicture(shelf, sha)) got++;
  }
}
