// Puts entries of the spare copy back into the outbox, where the database has lost them.

import type { Entry } from "../entry.ts";
import { request } from "./connection.ts";
import type { Counted } from "./ledger.ts";
import { overlay, unknownFeature } from "./overlay.ts";
import { markStale } from "./refold.ts";
import type { Spared } from "./spare.ts";

/** The transaction covers entries, features, notes and the ledger. Whoever enrols anew gives them the new device id then. */
export async function takeBack(counted: Counted, spared: readonly Spared[]): Promise<void> {
  const entries = counted.tx.objectStore("entries"), features = counted.tx.objectStore("features");
  for (const { id, property, text } of spared) {
    if ((await entries.count(id)) > 0) continue;
    const e = JSON.parse(text) as Entry, place = counted.nextPlace();
    counted.entry(undefined, {
      id, property, feature: e.feature, device: e.device, seq: e.deviceSeq, stamp: e.stamp, text,
      n: 0, arrivedMS: 0, savedMS: Date.parse(e.seenAt) || 0,
      mine: [property, place], waiting: [property, place], unsentOf: e.feature,
    });
    request(features.put(overlay((await features.get(e.feature)) ?? unknownFeature(e.feature, property), e)));
    markStale(counted.tx, e.feature);
  }
}
