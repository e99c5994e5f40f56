// Moves what is unsent to the phone's new device id, as after it turned out that another
// phone writes under the old one. The order of capture stays; what was sent under the old
// id counts as seen.

import type { Entry, Feature } from "../base/entry.ts";
import { request } from "./connection.ts";
import type { Counted } from "./counters.ts";
import { markStale } from "./refold.ts";
import type { EntryRow } from "./schema.ts";

/** Relabels every waiting entry. The transaction covers entries, features, notes and the ledger. */
export async function relabelAll(counted: Counted, to: string): Promise<void> {
  counted.beginSeqs();
  const waiting = await counted.tx.objectStore("entries").index("waiting").getAll();
  for (const entry of waiting) await relabel(counted, entry, to);
  for (const property of new Set(waiting.map((e) => e.property))) {
    request(counted.tx.objectStore("notes").put(true, `doubt/${property}`)); // a receipt may have been lost: ask before sending
  }
}

/** Gives one waiting entry the next deviceSeq of the device to. */
export async function relabel(counted: Counted, held: EntryRow, to: string): Promise<void> {
  if (held.device === to) return;
  const features = counted.tx.objectStore("features"),
    seq = counted.nextSeq(held.property);
  const [about, feature] = await Promise.all([
    counted.tx.objectStore("entries").index("feature").getAll(held.feature),
    features.get(held.feature),
  ]);
  const text = relabelled(held, to, seq, sentBefore(held, about));
  counted.entry(held, { ...held, device: to, seq, text });
  if (feature) request(features.put(sawAs(feature, held, to, seq, about)));
  markStale(counted.tx, held.feature);
}

/** The greatest deviceSeq, below this entry's, of those about its feature that keep its old device id. */
function sentBefore(held: EntryRow, about: readonly EntryRow[]): number {
  return Math.max(0, ...about.filter((e) => e.mine && !e.waiting && e.device === held.device && e.seq < held.seq).map((e) => e.seq));
}

function relabelled(held: EntryRow, to: string, deviceSeq: number, seen: number): string {
  const entry = JSON.parse(held.text) as Entry;
  const { [to]: _, ...saw }: { [device: string]: number } = entry.saw ?? {};
  if (seen > 0) saw[held.device] = Math.max(saw[held.device] ?? 0, seen);
  const { saw: __, ...rest } = entry; // members that this program does not know stay
  return JSON.stringify({ ...rest, device: to, deviceSeq, ...(Object.keys(saw).length > 0 && { saw }) });
}

/** The feature stands as it stood, but knows its entries under their new names. */
function sawAs(feature: Feature, held: EntryRow, to: string, seq: number, about: readonly EntryRow[]): Feature {
  const keeping = about.filter((e) => e.device === held.device && !e.waiting).map((e) => e.seq);
  const { [held.device]: _, ...saw }: { [device: string]: number } = feature.saw;
  if (keeping.length > 0) saw[held.device] = Math.max(...keeping);
  return { ...feature, saw: { ...saw, [to]: Math.max(saw[to] ?? 0, seq) } };
}
