// Items in the order in which an officer who stands there means them. Pure.

import { kindOf, settingsKind, type Feature } from "../entry.ts";
import { awayOf } from "./away.ts";
import type { Place } from "./ground.ts";

export interface Near {
  readonly feature: Feature;
  readonly awayM?: number; // absent where it has no position, or nobody knows where the phone is
}

/** Items are what stands or lies on the property: neither struck out, nor a visit, a photo, a level book or the settings. */
export const isItem = (f: Feature): boolean => !f.struck && !notItems.has(kindOf(f));
const notItems = new Set(["visit", "level-run", settingsKind]);

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
