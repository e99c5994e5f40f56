// Writing features back after the server has spoken about their entries.

import type { Feature } from "../entry.ts";
import { request, type Writing } from "./connection.ts";

/** Counts again what of these features is unsent. The transaction covers entries and features. */
export async function recount(tx: Writing, ids: Iterable<string>): Promise<readonly Feature[]> {
  const changed: Feature[] = [];
  const features = tx.objectStore("features"), unsentOf = tx.objectStore("entries").index("unsentOf");
  await Promise.all(Array.from(new Set(ids), async (id) => {
    const [feature, unsent] = await Promise.all([features.get(id), unsentOf.count(id)]);
    if (!feature || feature.unsent === unsent) return;
    const now = { ...feature, unsent };
    request(features.put(now));
    changed.push(now);
  }));
  return changed;
}
