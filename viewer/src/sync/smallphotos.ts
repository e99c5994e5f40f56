// Brings the small versions of a property's photos onto the phone, for the days without
// signal. They come last, and those that cannot be had now are tried again later.

import type { Loading } from "./state.ts";
import { photosOf } from "../base/album.ts";
import { smallAddress, smallCache, smallPicture } from "../storage/smallphotos.ts";
import type { Store } from "../storage/store.ts";
import type { Connection } from "./connection.ts";

const againMS = 300_000; // photos of others may have come since

export class SmallPhotos {
  readonly #seenToMS = new Map<string, number>(); // by property

  /** told is called with how far it is, done when it has come to an end. */
  constructor(
    readonly store: Store,
    readonly told: (loading: Loading) => void,
    readonly done: () => void,
  ) {}

  /** Looks what is lacking, from time to time, while a connection lasts. */
  goOn(connection: Connection): void {
    for (const property of connection.welcome.properties) {
      if (performance.now() - (this.#seenToMS.get(property) ?? -Infinity) < againMS) continue;
      this.#seenToMS.set(property, performance.now());
      const broken = () => void this.#seenToMS.delete(property); // no room or no signal: on the next connection
      this.#load(property, connection).then((whole) => (whole ? this.done() : broken()), broken);
    }
  }

  async #load(property: string, connection: Connection): Promise<boolean> {
    const lacking = await this.#lacking(property);
    let got = 0;
    for (const sha of lacking) {
      if (connection.ended) return false;
      this.told({ property, entries: 0, ofEntries: null, photos: { got, of: lacking.length } });
      if (await smallPicture(this.store, sha)) got++;
    }
    return true;
  }

  /** Photos named by features that are neither this phone's own nor here in small. */
  async #lacking(property: string): Promise<string[]> {
    const cache = await caches.open(smallCache);
    const lacking = new Set<string>();
    for (const feature of await this.store.features(property)) {
      const named = feature.struck ? [] : photosOf(feature);
      if (named.length === 0) continue;
      const own = new Set((await this.store.photos(feature.id)).map((p) => p.sha));
      for (const sha of named) {
        if (!own.has(sha) && !(await cache.match(smallAddress(sha)))) lacking.add(sha);
      }
    }
    return [...lacking];
  }
}
