// Photos on the phone, in memory only while somebody looks at one.

import type { StoredPhoto } from "./store.ts";
import type { Connection } from "./connection.ts";
import { Counted } from "./counters.ts";
import type { PhotoRow } from "./schema.ts";

export async function photosOf(db: Connection, feature: string): Promise<StoredPhoto[]> {
  const held = await db.read((open) => open.getAllFromIndex("photos", "features", feature));
  return held.map((p) => stored(db, p, feature));
}

/** Photos that the server has not acknowledged, in the order in which they were taken. */
export async function photosWaiting(db: Connection): Promise<StoredPhoto[]> {
  const held = await db.read((open) => open.getAllFromIndex("photos", "waiting"));
  return held.map((p) => stored(db, p, p.features[0] ?? ""));
}

/** Notes that the server has the photo. It stays on the phone. */
export function photoSent(db: Connection, sha: string): Promise<void> {
  return db.write(["photos", "ledger"], async (tx) => {
    const held = await tx.objectStore("photos").get(sha);
    if (!held) return;
    const { waiting: _, ...sent } = held;
    const counted = await Counted.in(tx);
    counted.photo(held, sent);
    counted.close();
  });
}

/**
 * Has the photos of these features wait again that the server had: it may have lost them. Those
 * that it still has are noted so as soon as it is asked. The transaction covers "photos".
 */
export async function photosAgain(counted: Counted, features: ReadonlySet<string>): Promise<void> {
  const photos = counted.tx.objectStore("photos");
  for (let cursor = await photos.openCursor(); cursor; cursor = await cursor.continue()) {
    const held = cursor.value;
    if (held.waiting === undefined && held.features.some((f) => features.has(f)))
      counted.photo(held, { ...held, waiting: counted.nextPlace() });
  }
}

/** Has these photos wait again, as far as they are on the phone and do not wait already. */
export function photosWanted(db: Connection, shas: readonly string[]): Promise<void> {
  return db.write(["photos", "ledger"], async (tx) => {
    const counted = await Counted.in(tx),
      photos = tx.objectStore("photos");
    for (const sha of shas) {
      const held = await photos.get(sha);
      if (held && held.waiting === undefined) counted.photo(held, { ...held, waiting: counted.nextPlace() });
    }
    counted.close();
  });
}

function stored(db: Connection, held: PhotoRow, feature: string): StoredPhoto {
  return {
    sha: held.sha,
    feature,
    size: held.size,
    sent: held.waiting === undefined,
    async bytes() {
      const bytes = await db.read((open) => open.get("photoBytes", held.sha));
      if (!bytes) throw new Error(`the phone does not have photo ${held.sha} any more`);
      return bytes;
    },
  };
}
