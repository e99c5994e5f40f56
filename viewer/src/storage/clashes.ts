// Both sides of what two people recorded differently, out of the entries on the phone.

import type { Entry, Fields } from "../base/entry.ts";
import { compare } from "../base/words.ts";
import type { Disagreement } from "./store.ts";
import type { Connection } from "./connection.ts";
import { unfolded } from "./refold.ts";
import type { Gather } from "../compute/fold.ts";

export async function clashes(db: Connection, gather: Gather, feature: string): Promise<readonly Disagreement[]> {
  const entries = await db.read((open) => open.getAllFromIndex("entries", "feature", feature));
  const [folded] = await gather([unfolded(feature, entries)]);
  const texts = new Map(entries.map((e) => [e.id, e.text]));
  const said = entries.map((e) => JSON.parse(e.text) as Entry).sort((a, b) => compare(a.stamp, b.stamp));
  return (folded?.clashes ?? []).map(({ field, values }) => {
    const own = new Set(values.map((side) => side.entry));
    return {
      field,
      sides: values.map((side) => {
        const entry = JSON.parse(texts.get(side.entry) ?? "{}") as Partial<Entry>;
        const before = said.filter((e) => !own.has(e.id) && e.stamp < (entry.stamp ?? ""));
        return { ...side, set: entry.set ?? {}, before: Object.assign({}, ...before.map((e) => e.set ?? {})) as Fields };
      }),
    };
  });
}
