// Both sides of what two people recorded differently, out of the entries on the phone.

import type { Entry } from "../entry.ts";
import type { Disagreement } from "../shelf.ts";
import type { Connection } from "./connection.ts";
import type { Gather } from "./fold.ts";

export async function clashes(db: Connection, gather: Gather, feature: string): Promise<readonly Disagreement[]> {
  const entries = await db.read((open) => open.getAllFromIndex("entries", "feature", feature));
  const [folded] = await gather([{ feature, entries: entries.map(({ n, arrivedMS, text }) => ({ n, arrivedMS, text })) }]);
  const texts = new Map(entries.map((e) => [e.id, e.text]));
  return (folded?.clashes ?? []).map(({ field, values }) => ({
    field,
    sides: values.map((side) => ({ ...side, set: (JSON.parse(texts.get(side.entry) ?? "{}") as Partial<Entry>).set ?? {} })),
  }));
}
