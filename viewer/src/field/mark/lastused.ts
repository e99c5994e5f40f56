// The kinds in the order in which a thumb likely wants them: pure.

import type { Kind } from "../app/kinds.ts";
import { kindOf, type Feature } from "../entry.ts";

/** The kinds last used first, then the others as the table has them. */
export function byLastUse(kinds: readonly Kind[], features: readonly Feature[]): readonly Kind[] {
  const newest = new Map<string, string>();
  for (const f of features) {
    const kind = kindOf(f);
    if (f.stamp > (newest.get(kind) ?? "")) newest.set(kind, f.stamp);
  }
  const stamp = (k: Kind) => newest.get(k.name) ?? "";
  return kinds.slice().sort((a, b) => (stamp(a) < stamp(b) ? 1 : stamp(a) > stamp(b) ? -1 : 0));
}
