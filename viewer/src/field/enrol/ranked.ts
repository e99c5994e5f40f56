// How properties are ordered, and how far away each is: pure.

import { metresBetween, placeAt } from "../../base/plane.ts";
import { distance } from "../../base/words.ts";
import type { Fix } from "../../sensor/fix.ts";
import type { PropertyState } from "../../storage/store.ts";

export interface Ranked extends PropertyState {
  readonly awayM: number | undefined; // to the nearest of some of its places; undefined when nobody knows
}

/** Those that can be opened: one that was merged only while something is unfinished on it. */
export function ranked(states: readonly PropertyState[], fix: Pick<Fix, "lon" | "lat"> | null): readonly Ranked[] {
  const shown = states.filter((s) => !s.property.into || s.begunWork);
  return shown.map((s) => ({
    ...withMerged(s, states),
    awayM: fix && s.near.length > 0 ? Math.min(...s.near.map((at) => metresBetween(placeAt(at), fix))) : undefined,
  }));
}

/** What waits of those that were merged into it waits of the property too, unless they are shown themselves. */
function withMerged(of: PropertyState, states: readonly PropertyState[]): PropertyState {
  const parts = states.filter((s) => s.property.into === of.property.id && !s.begunWork);
  const sum = (name: "unsent" | "photosUnsent") => parts.reduce((all, p) => all + p[name], of[name]);
  return { ...of, unsent: sum("unsent"), photosUnsent: sum("photosUnsent"), near: [...of.near, ...parts.flatMap((p) => p.near)] };
}

/** The nearest first, then those last opened, then by name. */
export function inOrder(all: readonly Ranked[], openedMS: { readonly [id: string]: number }): readonly Ranked[] {
  const last = (r: Ranked) => Math.max(openedMS[r.property.id] ?? 0, r.recorded?.getTime() ?? 0);
  return [...all].sort(
    (a, b) => (a.awayM ?? Infinity) - (b.awayM ?? Infinity) || last(b) - last(a) || a.property.name.localeCompare(b.property.name),
  );
}

/** "" when nobody knows. */
export function awayWords(awayM: number | undefined): string {
  if (awayM === undefined) return "";
  return awayM < 100 ? "here" : `${distance(awayM)} away`;
}
