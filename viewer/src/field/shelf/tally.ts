// Tells what is on the phone, as the database has it.

import type { Tally } from "../shelf.ts";
import type { Connection } from "./connection.ts";
import { emptyLedger } from "./ledger.ts";
import type { Database } from "./schema.ts";

export function tally(db: Connection): Promise<Tally> {
  return db.read(async (open) => {
    const [ledger, oldestUnsent] = await Promise.all([open.get("ledger", "ledger"), oldest(open)]);
    const { place: _, seqs: __, ...numbers } = ledger ?? emptyLedger;
    return { ...numbers, oldestUnsent };
  });
}

/** When the oldest entry that waits was saved: the first of each property, in the order of the index. */
async function oldest(open: Database): Promise<Date | null> {
  let least: number | null = null;
  let cursor = await open.transaction("entries").store.index("waiting").openCursor();
  while (cursor) {
    const { savedMS, property } = cursor.value;
    least = Math.min(least ?? savedMS, savedMS);
    cursor = await cursor.continue([property, Infinity]);
  }
  return least === null ? null : new Date(least);
}
