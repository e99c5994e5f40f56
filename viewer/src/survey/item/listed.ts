// Which items a list shows: pure.

import { inOrder } from "../../base/kindgroups.ts";
import { kinds, kindNamed, type Kind } from "../../base/kinds.ts";
import { isItem } from "../../base/nearest.ts";
import { nameOf } from "../../base/names.ts";
import { kindOf, type Feature } from "../../base/entry.ts";

/** What the table of the desk lists: items, and level books, which have no place but are opened there. */
export const isListed = (f: Feature): boolean => isItem(f) || (!f.struck && kindOf(f) === "level-run");

/** The kinds that are there, in the order of every chooser. */
export function kindsIn(features: readonly Feature[]): readonly Kind[] {
  const there = new Set(features.map((f) => kindNamed(kindOf(f)).name));
  return inOrder(kinds.filter((k) => there.has(k.name)));
}

/** Items of a kind, "" for all, that have every word of a search in their name, kind or notes. */
export function matching(features: readonly Feature[], kind: string, search: string): readonly Feature[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  if (!kind && !words.length) return features;
  return features.filter((f) => {
    const row = kindNamed(kindOf(f));
    if (kind && row.name !== kind) return false;
    const text = `${nameOf(f, [])} ${row.label} ${String(f.fields["notes"] ?? "")}`.toLowerCase();
    return words.every((w) => text.includes(w));
  });
}
