// What was recorded, entry by entry, as screens tell it: what this phone did today, and what
// was there before an entry, for undoing that entry and no other.

import type { Entry } from "../base/entry.ts";
import { compare } from "../base/words.ts";
import type { Recorded } from "./store.ts";
import type { Connection } from "./connection.ts";
import type { EntryRow } from "./schema.ts";
import { of } from "./sent.ts";

/** What was recorded on this phone for any of these properties since a moment by its own clock, oldest first. */
export function recordedSince(db: Connection, properties: readonly string[], sinceMS: number): Promise<readonly Recorded[]> {
  return db.read(async (open) => {
    const mine = open.transaction("entries").store.index("mine");
    const found = await Promise.all(
      properties.map(async (property) => {
        const newestFirst: Recorded[] = [];
        for (let cursor = await mine.openCursor(of(property), "prev"); cursor; cursor = await cursor.continue()) {
          if (cursor.value.savedMS < sinceMS) break;
          newestFirst.push(recorded(cursor.value));
        }
        return newestFirst.reverse();
      }),
    );
    return found.flat().sort((a, b) => a.savedMS - b.savedMS);
  });
}

/** Every entry about a feature that is on this phone, in the order of their stamps. */
export function historyOf(db: Connection, feature: string): Promise<readonly Recorded[]> {
  return db.read(async (open) =>
    (await open.getAllFromIndex("entries", "feature", feature))
      .filter((e) => e.refused === undefined)
      .map(recorded)
      .sort((a, b) => compare(a.entry.stamp, b.entry.stamp)),
  );
}

function recorded(held: EntryRow): Recorded {
  const entry = JSON.parse(held.text) as Entry;
  return { entry, savedMS: held.savedMS, waits: held.waiting !== undefined, refused: held.refused !== undefined };
}
