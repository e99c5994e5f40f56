// Folds again the features whose entries got other device ids. Until the computations are
// there to do it, a feature stands as it stood; only a clash may be told too late.

import type { Feature } from "../base/entry.ts";
import { request, type Connection, type Writing } from "./connection.ts";
import type { Folded, Gather, Unfolded } from "../compute/fold.ts";
import type { EntryRow } from "./schema.ts";

const prefix = "stale/";

/** Notes that a feature is to be folded again. The transaction covers notes. */
export function markStale(tx: Writing, feature: string): void {
  request(tx.objectStore("notes").put(true, prefix + feature));
}

/** Folds what is noted, and tells each feature at once: what is told later may be older than what came in meanwhile. */
export async function refold(db: Connection, gather: Gather, changed: (feature: Feature) => void): Promise<void> {
  const keys = await db.read((open) => open.getAllKeys("notes", IDBKeyRange.bound(prefix, "stale0", false, true)));
  for (const key of keys) {
    let feature: Feature | null = null;
    while (!feature) feature = await refoldOne(db, key.slice(prefix.length), gather);
    changed(feature);
  }
}

/** null when a capture came in between. */
async function refoldOne(db: Connection, id: string, gather: Gather): Promise<Feature | null> {
  const entries = await db.read((open) => open.getAllFromIndex("entries", "feature", id));
  const [folded] = await gather([unfolded(id, entries)]);
  if (!folded) throw new Error(`no fold of feature ${id} was given`);
  return db.write(["entries", "features", "notes"], async (tx) => {
    const index = tx.objectStore("entries").index("feature");
    const [now, before, unsent] = await Promise.all([
      index.getAll(id),
      tx.objectStore("features").get(id),
      tx.objectStore("entries").index("unsentOf").count(id),
    ]);
    if (!sameEntries(now, entries)) return null;
    const feature = { ...standing(folded, before?.property ?? entries[0]?.property ?? ""), unsent };
    request(tx.objectStore("features").put(feature));
    request(tx.objectStore("notes").delete(prefix + id));
    return feature;
  });
}

/** A feature and entries about it, as they are folded. */
export const unfolded = (feature: string, entries: readonly Unfolded["entries"][number][]): Unfolded => ({
  feature,
  entries: entries.map(({ n, arrivedMS, text }) => ({ n, arrivedMS, text })),
});

/** A fold as the phone keeps it. */
export function standing(f: Folded, property: string): Omit<Feature, "unsent"> {
  return {
    id: f.feature,
    property,
    fields: f.fields,
    struck: f.struck ?? false,
    clashes: (f.clashes ?? []).map((c) => c.field),
    saw: f.saw,
    stamp: f.stamp,
  };
}

/** Whether nothing was captured, taken in or relabelled between two readings. */
export function sameEntries(now: readonly EntryRow[], before: readonly EntryRow[]): boolean {
  return now.length === before.length && now.every((e, i) => e.id === before[i]!.id && e.text === before[i]!.text);
}
