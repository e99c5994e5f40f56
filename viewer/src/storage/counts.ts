// Tells what is on the phone, as the database has it.

import type { Counts } from "./store.ts";
import type { Connection } from "./connection.ts";
import { noCounters } from "./counters.ts";
import type { Database } from "./schema.ts";

export function counts(db: Connection): Promise<Counts> {
  return db.read(async (open) => {
    const [counters, ...oldest] = await Promise.all([open.get("ledger", "ledger"), oldestEntryMS(open), oldestPhotoMS(open)]);
    const { place: _, seqs: __, ...numbers } = counters ?? noCounters;
    const leastMS = Math.min(...oldest);
    return { ...numbers, oldestUnsent: Number.isFinite(leastMS) ? new Date(leastMS) : null };
  });
}

/** When the oldest entry that waits was saved: the first of each property, in the order of the index. */
async function oldestEntryMS(open: Database): Promise<number> {
  let least = Infinity;
  let cursor = await open.transaction("entries").store.index("waiting").openCursor();
  while (cursor) {
    const { savedMS, property } = cursor.value;
    least = Math.min(least, savedMS);
    cursor = await cursor.continue([property, Infinity]);
  }
  return least;
}

/** When the oldest photo that waits was saved, with the entry that names it. */
async function oldestPhotoMS(open: Database): Promise<number> {
  const [photo] = await open.getAllFromIndex("photos", "waiting", null, 1);
  if (!photo) return Infinity;
  const entries = await open.getAllFromIndex("entries", "feature", photo.features[0]);
  return Math.min(...entries.filter(({ text, savedMS }) => savedMS > 0 && text.includes(photo.sha)).map(({ savedMS }) => savedMS));
}
