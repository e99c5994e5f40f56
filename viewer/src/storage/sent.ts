// What waits to be sent, and what the server said about what was.

import type { Entry, Feature } from "../base/entry.ts";
import type { Receipt } from "./store.ts";
import { type Connection, request, type Writing } from "./connection.ts";
import { Counted } from "./counters.ts";
import type { EntryRow, Place } from "./schema.ts";

const utf8 = new TextEncoder();

/**
 * The oldest unsent entries of a property in the order of their capture, but for those to
 * skip, which are on their way; at least one if there is any and none is on its way. It
 * ends before the first that is not to be sent yet.
 */
export function waiting(
  db: Connection,
  property: string,
  atMost: number,
  atMostBytes: number,
  skip: ReadonlySet<string>,
  notYet: (id: string) => boolean,
): Promise<{ id: string; text: string }[]> {
  return db.read(async (open) => {
    const found: { id: string; text: string }[] = [];
    let bytes = 0;
    const index = open.transaction("entries").store.index("waiting");
    for (let cursor = await index.openCursor(of(property)); cursor && found.length < atMost; cursor = await cursor.continue()) {
      const { id, text } = cursor.value;
      if (skip.has(id)) continue;
      if (notYet(id)) break;
      bytes += utf8.encode(text).length + 1;
      if (bytes > atMostBytes && found.length + skip.size > 0) break;
      found.push({ id, text });
    }
    return found;
  });
}

/** All keys of an index by property and place that are this property's. */
export const of = (property: string): IDBKeyRange => IDBKeyRange.bound([property, -Infinity], [property, Infinity]);

/** Takes what the server has made durable, or will never take, out of the outbox. */
export function settle(db: Connection, receipts: readonly Receipt[]): Promise<readonly Feature[]> {
  return db.write(["entries", "features", "selves", "ledger"], async (tx) => {
    const entries = tx.objectStore("entries"),
      counted = await Counted.in(tx);
    const held = await Promise.all(receipts.map((r) => entries.get(r.id)));
    const touched: string[] = [];
    let cloned = false;
    for (const [i, receipt] of receipts.entries()) {
      const entry = held[i];
      if (!entry) continue; // a refused entry whose id the server could not read
      if (receipt.cloned) {
        cloned = true; // it stays in the outbox, for the device id of the next enrolment
        continue;
      }
      counted.entry(entry, receipt.refused ? { ...settled(entry), refused: receipt.refused } : settled(entry));
      touched.push(entry.feature);
    }
    if (cloned) {
      const self = await tx.objectStore("selves").get("self");
      if (self) request(tx.objectStore("selves").put({ ...self, cloned }, "self"));
    }
    counted.close();
    return recount(tx, touched);
  });
}

/** The row of an entry that was written on this phone and waits at a place of the outbox. */
export function unsentRow(
  { id, property, feature, device, deviceSeq: seq, stamp }: Entry,
  text: string,
  place: number,
  savedMS: number,
): EntryRow {
  const at: Place = [property, place];
  return { id, property, feature, device, seq, stamp, text, n: 0, arrivedMS: 0, savedMS, mine: at, waiting: at, unsentOf: feature };
}

/** The entry without what holds it in the outbox. */
export function settled(entry: EntryRow): EntryRow {
  const { waiting: _, unsentOf: __, ...rest } = entry;
  return rest;
}

/** The entry back in the outbox, in its old place. */
export function unsettled(entry: EntryRow): EntryRow {
  return entry.mine ? { ...entry, n: 0, arrivedMS: 0, waiting: entry.mine, unsentOf: entry.feature } : entry;
}

/** Ids of this phone's own entries that the server has not refused, oldest first. */
export function own(db: Connection, property: string): Promise<string[]> {
  return db.read(async (open) => {
    const all = await open.getAllFromIndex("entries", "mine", of(property));
    return all.filter((e) => e.refused === undefined).map((e) => e.id);
  });
}

/** Ids of this phone's own entries that the server has acknowledged and that have not come back from its register. */
export function unreturned(db: Connection, property: string): Promise<string[]> {
  return db.read(async (open) => {
    const all = await open.getAllFromIndex("entries", "mine", of(property));
    return all.filter((e) => e.n === 0 && !e.waiting && e.refused === undefined).map((e) => e.id);
  });
}

/** Counts again what of these features is unsent. The transaction covers entries and features. */
export async function recount(tx: Writing, ids: Iterable<string>): Promise<readonly Feature[]> {
  const changed: Feature[] = [];
  const features = tx.objectStore("features"),
    unsentOf = tx.objectStore("entries").index("unsentOf");
  await Promise.all(
    Array.from(new Set(ids), async (id) => {
      const [feature, unsent] = await Promise.all([features.get(id), unsentOf.count(id)]);
      if (!feature || feature.unsent === unsent) return;
      const now = { ...feature, unsent };
      request(features.put(now));
      changed.push(now);
    }),
  );
  return changed;
}
