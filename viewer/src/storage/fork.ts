// After the server was restored from an older copy: back to where both are the same, and
// what it lacks into the outbox again.

import type { Feature } from "../base/entry.ts";
import type { Position } from "./store.ts";
import { request, type Connection } from "./connection.ts";
import { Counted } from "./counters.ts";
import { photosAgain } from "./photos.ts";
import { relabel } from "./relabel.ts";
import { recount, settled, unsettled } from "./sent.ts";

/**
 * Moves the phone's position to the highest of the server's marks that is on its own
 * chain, and notes in the same transaction that its own entries are in doubt, and its photos.
 */
export function fork(db: Connection, property: string, marks: readonly Position[]): Promise<void> {
  return db.write(["positions", "line", "notes", "features", "photos", "ledger"], async (tx) => {
    const at = await tx.objectStore("positions").get(property);
    if (!at) throw new Error("the server says that the beginning of its register is not its own");
    const line = tx.objectStore("line");
    const ours = await Promise.all(marks.map((m) => line.get([property, m.n])));
    const to = marks.find((m, i) => m.n <= at.n && ours[i] === m.hash);
    if (to) request(tx.objectStore("positions").put(to, property));
    else request(tx.objectStore("positions").delete(property));
    request(tx.objectStore("notes").put(true, `doubt/${property}`));
    const counted = await Counted.in(tx);
    await photosAgain(counted, new Set(await tx.objectStore("features").index("property").getAllKeys(property)));
    counted.close();
  });
}

export function resendDue(db: Connection, property: string): Promise<boolean> {
  return db.read(async (open) => (await open.get("notes", `doubt/${property}`)) !== undefined);
}

export function resendDone(db: Connection, property: string): Promise<void> {
  return db.write(["notes"], async (tx) => request(tx.objectStore("notes").delete(`doubt/${property}`)));
}

/**
 * Puts what the register lacks into the outbox, and takes out of it what was asked about and is
 * there. Where it lacks an entry that it had, it may lack the photos of its feature too.
 */
export function offerAgain(db: Connection, lacking: readonly string[], asked: readonly string[]): Promise<readonly Feature[]> {
  const lacks = new Set(lacking);
  return db.write(["entries", "features", "notes", "selves", "ledger", "photos"], async (tx) => {
    const entries = tx.objectStore("entries"),
      counted = await Counted.in(tx);
    const self = await tx.objectStore("selves").get("self");
    const touched: string[] = [],
      lost = new Set<string>();
    for (const id of new Set([...asked, ...lacking])) {
      const entry = await entries.get(id);
      if (!entry?.mine) continue;
      if (lacks.has(id) && !entry.waiting && entry.refused === undefined) {
        const again = unsettled(entry);
        counted.entry(entry, again);
        if (self) await relabel(counted, again, self.device); // a former id's token is no more
        touched.push(entry.feature);
        lost.add(entry.feature);
      } else if (!lacks.has(id) && entry.waiting) {
        counted.entry(entry, settled(entry));
        touched.push(entry.feature);
      }
    }
    await photosAgain(counted, lost);
    counted.close();
    return recount(tx, touched);
  });
}
