// Who the phone is to the server, and whether what is stored is all that it ever stored.

import type { Self, ShelfTrouble } from "../shelf.ts";
import { request, type Connection } from "./connection.ts";
import type { HighMarks } from "./marks.ts";
import { relabelAll } from "./relabel.ts";
import type { HeldSelf } from "./schema.ts";
import { behind, gone } from "./trouble.ts";

/** Keeps who the phone is. What is unsent goes over to a new device id in the same transaction. */
export function enrol(db: Connection, self: Self): Promise<void> {
  return db.write(["selves", "entries", "features", "counts"], async (tx) => {
    const before = await tx.objectStore("selves").get("self");
    if (before && before.device !== self.device) {
      const counted = await tx.objectStore("counts").getAllKeys(IDBKeyRange.bound("seq/", "seq0", false, true));
      for (const key of counted) await relabelAll(tx, key.slice("seq/".length), self.device);
    }
    const { device, token, author, properties } = self;
    request(tx.objectStore("selves").put({ device, token, author, properties }, "self"));
  });
}

/** Compares the database with the marks outside it. */
export async function findTrouble(db: Connection, marks: HighMarks, self: HeldSelf | null): Promise<ShelfTrouble | null> {
  if (!self) return marks.any ? gone() : null;
  for (const property of marks.properties(self.device)) {
    const seq = await db.read((open) => open.get("counts", `seq/${property}`));
    if ((seq ?? 0) < marks.high(self.device, property)) return behind();
  }
  return null;
}
