// Items in the order in which an officer who stands there means them. Pure.

import { count, grouped } from "./words.ts";
import { kindOf, settingsKind, type Feature } from "./entry.ts";
import { awayOf } from "./away.ts";
import type { Place } from "./plane.ts";

export interface Near {
  readonly feature: Feature;
  readonly awayM?: number; // absent where it has no position, or nobody knows where the phone is
}

/** Items are what stands or lies on the property: neither struck out, nor a visit, a photo, a level book, a stocking record, a plan or the settings. */
export const isItem = (f: Feature): boolean => !f.struck && !notItems.has(kindOf(f));
const notItems = new Set(["visit", "level-run", "stocking", "plan", settingsKind]);

/** An item that stands somewhere, and of which nobody recorded where. */
export const lacksPlace = (f: Feature): boolean => isItem(f) && !f.fields["geometry"];

/** "53 items, 3 without a position": the words are the same wherever items are counted. */
export function itemsWords(features: readonly Feature[]): string {
  const items = features.filter(isItem),
    lacking = items.filter(lacksPlace).length;
  return count(items.length, "item", "items") + (lacking ? `, ${grouped(lacking)} without a position` : "");
}

/** The items: nearest first, those without a position last, the newest of them first. */
export function nearestFirst(features: readonly Feature[], from: Place | undefined): readonly Near[] {
  return features
    .filter(isItem)
    .map((feature): Near => {
      const away = from && awayOf(feature, from);
      return away ? { feature, awayM: away.distanceM } : { feature };
    })
    .sort((a, b) => {
      const [am, bm] = [a.awayM ?? Infinity, b.awayM ?? Infinity];
      return am === bm ? b.feature.stamp.localeCompare(a.feature.stamp) : am - bm;
    });
}

/** The item nearest to a place, of those that have one. */
export function nearestTo(features: readonly Feature[], from: Place): { readonly feature: Feature; readonly awayM: number } | undefined {
  const [first] = nearestFirst(features, from);
  return first?.awayM === undefined ? undefined : { feature: first.feature, awayM: first.awayM };
}
