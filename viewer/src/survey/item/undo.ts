// Undoing entries: what they said is taken back, and nothing that was said before or since.
// Pure.

import type { Feature, Fields } from "../../base/entry.ts";
import type { Draft, Recorded, Store } from "../../storage/store.ts";

/** What there is to know of a feature for undoing entries about it. */
export interface Past {
  readonly now: Feature;
  readonly history: readonly Recorded[]; // by stamp
}

/**
 * The drafts that undo some entries. A feature that began with them is struck out; of any
 * other the values that they set, and that still stand, are what they were before. Empty
 * when nothing of what they said stands any more.
 */
export function undoing(entries: ReadonlySet<string>, pasts: readonly Past[]): readonly Draft[] {
  return pasts.flatMap(({ now, history }) => {
    const undone = history.filter((r) => entries.has(r.entry.id)).map((r) => r.entry);
    const first = undone[0];
    if (!first) return [];
    const before = history.map((r) => r.entry).filter((e) => e.stamp < first.stamp);
    const feature = now.id;
    if (before.length === 0) return now.struck ? [] : [{ feature, strike: true }];
    const set: { [name: string]: unknown } = {};
    for (const name of new Set(undone.flatMap((e) => Object.keys(e.set ?? {})))) {
      const was = lastOf(before, name),
        said = lastOf(undone, name),
        stands = now.fields[name] ?? null;
      if (name === "photos") {
        const added = listOf(said).filter((sha) => !listOf(was).includes(sha));
        const left = listOf(stands).filter((sha) => !added.includes(sha));
        if (left.length < listOf(stands).length) set[name] = left.length ? left : null;
      } else if (same(stands, said)) set[name] = was;
    }
    const strike = undone.reduce<boolean | undefined>((s, e) => e.strike ?? s, undefined);
    return [
      ...(strike !== undefined && now.struck === strike ? [{ feature, strike: !strike }] : []),
      ...(Object.keys(set).length ? [{ feature, set }] : []),
    ];
  });
}

/** Reads what is needed from the phone's store, and gives the drafts. */
export async function undoingIn(
  store: Pick<Store, "history" | "feature">,
  entries: readonly { readonly feature: string; readonly entry: string }[],
): Promise<readonly Draft[]> {
  const features = [...new Set(entries.map((e) => e.feature))];
  const pasts = await Promise.all(
    features.map(async (id) => {
      const [now, history] = await Promise.all([store.feature(id), store.history(id)]);
      return now ? [{ now, history }] : [];
    }),
  );
  return undoing(new Set(entries.map((e) => e.entry)), pasts.flat());
}

/** The value that the newest of some entries gives a field; null when none does. */
function lastOf(entries: readonly { readonly set?: Fields }[], name: string): unknown {
  let value: unknown = null;
  for (const { set } of entries) if (set && name in set) value = set[name];
  return value;
}

const listOf = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

/** Whether two values of JSON are the same, whatever the order of their members. */
export function same(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null || Array.isArray(a) !== Array.isArray(b)) return false;
  const names = Object.keys(a);
  return names.length === Object.keys(b).length && names.every((n) => n in b && same((a as Fields)[n], (b as Fields)[n]));
}
