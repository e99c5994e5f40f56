// What the list of properties says of each: how many items it has, and its last entry.

import { useState } from "preact/hooks";
import { type Feature, stampedAt } from "../../base/entry.ts";
import type { Store } from "../../storage/store.ts";
import { isListed } from "../../survey/item/listed.ts";
import { lastOf } from "../../survey/visit/visits.ts";
import { useAsking } from "../../ui/hooks.ts";

export interface Summary {
  readonly items: number;
  readonly last: { readonly at: Date | undefined; readonly by: string } | undefined; // undefined where nothing was recorded yet
}

/** By property, once they are read; read again whenever changed is another. */
export function useSummaries(store: Store, ids: readonly string[], changed: unknown): ReadonlyMap<string, Summary> {
  const [found, set] = useState<ReadonlyMap<string, Summary>>(new Map());
  useAsking(
    () => Promise.all(ids.map(async (id) => [id, await summaryOf(store, id)] as const)),
    [ids.join(), changed],
    (all) => set(new Map(all)), // where it fails the shell tells what ails the store
  );
  return found;
}

async function summaryOf(store: Store, property: string): Promise<Summary> {
  const features = await store.features(property);
  const newest = features.reduce<Feature | undefined>((a, b) => (a && a.stamp >= b.stamp ? a : b), undefined);
  const last = newest && lastOf(await store.history(newest.id));
  return {
    items: features.filter(isListed).length,
    last: newest && last ? { at: stampedAt(newest), by: last.entry.author } : undefined,
  };
}
