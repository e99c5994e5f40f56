// Counts what is on the phone, from the database itself.

import type { Tally } from "../shelf.ts";
import type { Connection } from "./connection.ts";
import type { Database } from "./schema.ts";

export function tally(db: Connection): Promise<Tally> {
  return db.read(async (open) => {
    const tx = open.transaction(["entries", "photos"]);
    tx.done.catch(() => undefined); // its requests tell
    const entries = tx.objectStore("entries");
    const [held, unsent, refused, photos] = await Promise.all([entries.count(), entries.index("waiting").count(),
      entries.index("refused").count(), tx.objectStore("photos").index("waiting").getAll()]);
    return {
      entries: held, unsent, refused,
      photosUnsent: photos.length,
      photoBytesUnsent: photos.reduce((sum, p) => sum + p.size, 0),
      oldestUnsent: unsent === 0 ? null : await oldest(open),
    };
  });
}

/** When the oldest entry that waits was saved: the first of each property, in the order of the index. */
async function oldest(open: Database): Promise<Date | null> {
  let least: number | null = null;
  let cursor = await open.transaction("entries").store.index("waiting").openCursor();
  while (cursor) {
    const { savedMS, property } = cursor.value;
    least = Math.min(least ?? savedMS, savedMS);
    cursor = await cursor.continue([property, Infinity]);
  }
  return least === null ? null : new Date(least);
}
