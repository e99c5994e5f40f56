// Which items have changed while the page was open, for as long as that is news.

import { useEffect, useRef, useState } from "preact/hooks";
import type { Feature } from "../../base/entry.ts";
import type { Store } from "../../storage/store.ts";

const newsMS = 60_000;

/** loaded: all that the server has is in the store, so that what comes from then on is new. */
export function useFresh(store: Store, property: string, items: readonly Feature[], loaded: boolean): ReadonlySet<string> {
  const known = useRef<Map<string, string> | undefined>(undefined); // stamps, by item
  const [fresh, set] = useState<ReadonlySet<string>>(new Set());
  useEffect(() => {
    if (!loaded || known.current) return;
    store.features(property).then(
      (all) => void (known.current ??= new Map(all.map((f) => [f.id, f.stamp]))),
      () => {}, // the shell tells what ails the store
    );
  }, [loaded]);
  useEffect(() => {
    const stamps = known.current;
    const changed = stamps ? items.filter((f) => f.stamp > (stamps.get(f.id) ?? "")) : [];
    if (changed.length === 0) return;
    for (const f of changed) stamps!.set(f.id, f.stamp);
    const ids = new Set(changed.map((f) => f.id));
    set((before) => new Set([...before, ...ids]));
    setTimeout(() => set((before) => new Set([...before].filter((id) => !ids.has(id)))), newsMS);
  }, [items]);
  return fresh;
}
