// Which items have changed while the page was open, for as long as that is news.

import { useEffect, useRef, useState } from "preact/hooks";
import type { Feature } from "../../base/entry.ts";

const newsMS = 60_000;

/** ready: the items have been read, so that what comes from now on is new. */
export function useFresh(items: readonly Feature[], ready: boolean): ReadonlySet<string> {
  const before = useRef<ReadonlyMap<string, string> | undefined>(undefined);
  const [fresh, set] = useState<ReadonlySet<string>>(new Set());
  useEffect(() => {
    if (!ready) return;
    const stamps = new Map(items.map((f) => [f.id, f.stamp]));
    const was = before.current;
    before.current = stamps;
    const changed = was ? items.filter((f) => was.get(f.id) !== f.stamp).map((f) => f.id) : [];
    if (changed.length === 0) return;
    set((known) => new Set([...known, ...changed]));
    setTimeout(() => set((known) => new Set([...known].filter((id) => !changed.includes(id)))), newsMS);
  }, [items, ready]);
  return fresh;
}
