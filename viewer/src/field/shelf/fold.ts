// What becomes of a fold that the computations have answered.

import type { Feature } from "../entry.ts";
import type { Folded } from "./folded.ts";
import type { HeldEntry } from "./schema.ts";

export type { Clash, Folded, Gather, Side, Unfolded } from "./folded.ts";

/** A fold as the phone keeps it. */
export function standing(f: Folded, property: string): Omit<Feature, "unsent"> {
  return {
    id: f.feature, property, fields: f.fields, struck: f.struck ?? false,
    clashes: (f.clashes ?? []).map((c) => c.field), saw: f.saw, stamp: f.stamp,
  };
}

/** Whether nothing was captured, taken in or relabelled between two readings. */
export function sameEntries(now: readonly HeldEntry[], before: readonly HeldEntry[]): boolean {
  return now.length === before.length && now.every((e, i) => e.id === before[i]!.id && e.text === before[i]!.text);
}
