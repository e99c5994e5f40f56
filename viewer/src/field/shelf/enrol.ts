// Who the phone is to the server, and whether what is stored is all that it ever stored.

import type { Self, ShelfTrouble } from "../shelf.ts";
import { request, type Connection } from "./connection.ts";
import { Counted, type Ledger } from "./ledger.ts";
import type { HighMarks } from "./marks.ts";
import { relabelAll } from "./relabel.ts";
import type { HeldSelf } from "./schema.ts";
import type { Spared } from "./spared.ts";
import { takeBack, takenBackTables } from "./takeback.ts";
import { behind, gone } from "./trouble.ts";

/**
 * Keeps who the phone is. What is unsent goes over to a new device id in the same
 * transaction, and with it what the database has lost and the spare copy has kept.
 */
export function enrol(db: Connection, self: Self, spared: Spared | null): Promise<void> {
  return db.write(["selves", ...takenBackTables], async (tx) => {
    const before = await tx.objectStore("selves").get("self");
    if (before?.device !== self.device) {
      const counted = await Counted.in(tx);
      if (spared) await takeBack(counted, spared);
      await relabelAll(counted, self.device);
      counted.close();
    }
    const { device, token, author, properties } = self;
    request(tx.objectStore("selves").put({ device, token, author, properties }, "self"));
  });
}

/** Compares the database with the marks outside it. */
export function troubleIn(marks: HighMarks, self: HeldSelf | null, { seqs }: Ledger): ShelfTrouble | null {
  if (!self) return marks.any ? gone() : null;
  const less = marks.properties(self.device).some((property) => (seqs[property] ?? 0) < marks.high(self.device, property));
  return less ? behind() : null;
}
