// What was recorded, entry by entry, as screens tell it: what this phone did today, and what
// was there before an entry, for undoing that entry and no other.

import type { Entry } from "../entry.ts";
import type { Recorded } from "../shelf.ts";
import type { Connection } from "./connection.ts";
import type { HeldEntry } from "./schema.ts";

/** What was recorded on this phone since a moment by its own clock, oldest first. */
export function recordedSince(db: Connection, property: string, sinceMS: number): Promise<readonly Recorded[]> {
  return db.read(async (open) => {
    const found: Recorded[] = [];
    const newest = IDBKeyRange.bound([property, 0], [property, Infinity]);
    for (let cursor = await open.transaction("entries").store.index("mine").openCursor(newest, "prev"); cursor; cursor = await cursor.continue()) {
      if (cursor.value.savedMS < sinceMS) break;
      found.push(recorded(cursor.value));
    }
    return found.reverse();
  });
}

/** Every entry about a feature that is on this phone, in the order of their stamps. */
export function historyOf(db: Connection, feature: string): Promise<readonly Recorded[]> {
  return db.read(async (open) => (await open.getAllFromIndex("entries", "feature", feature))
    .filter((e) => e.refused === undefined)
    .map(recorded)
    .sort((a, b) => (a.entry.stamp < b.entry.stamp ? -1 : a.entry.stamp > b.entry.stamp ? 1 : 0)));
}

function recorded(held: HeldEntry): Recorded {
  const entry = JSON.parse(held.text) as Entry;
  return { entry, savedMS: held.savedMS, waits: held.waiting !== undefined, refused: held.refused !== undefined };
}
