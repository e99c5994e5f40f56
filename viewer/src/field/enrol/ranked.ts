// How properties are ordered: pure.

import type { Fix } from "../../sensor/fix.ts";
import type { PropertyState } from "../../storage/store.ts";

export interface Ranked extends PropertyState {
  readonly awayM: number | undefined; // to the nearest of some of its places; undefined when nobody knows
}

const metresPerDegree = 111_195;

/** Near enough to order properties by. */
function awayM([lon, lat]: readonly [number, number], from: Pick<Fix, "lon" | "lat">): number {
  let east = lon - from.lon;
  if (east > 180) east -= 360;
  if (east < -180) east += 360;
  return metresPerDegree * Math.hypot(lat - from.lat, east * Math.cos((from.lat * Math.PI) / 180));
}

/** Those that can be opened: one that was merged only while something is unfinished on it. */
export function ranked(states: readonly PropertyState[], fix: Pick<Fix, "lon" | "lat"> | null): readonly Ranked[] {
  const shown = states.filter((s) => !s.property.into || s.begunWork);
  return shown.map((s) => ({
    ...withMerged(s, states),
    awayM: fix && s.near.length > 0 ? Math.min(...s.near.map((at) => awayM(at, fix))) : undefined,
  }));
}

/** What waits of those that were merged into it waits of the property too, unless they are shown themselves. */
function withMerged(of: PropertyState, states: readonly PropertyState[]): PropertyState {
  const parts = states.filter((s) => s.property.into === of.property.id && !s.begunWork);
  return {
    ...of,
    unsent: sum(
      of.unsent,
      parts.map((p) => p.unsent),
    ),
    photosUnsent: sum(
      of.photosUnsent,
      parts.map((p) => p.photosUnsent),
    ),
    near: [...of.near, ...parts.flatMap((p) => p.near)],
  };
}

const sum = (first: number, rest: readonly number[]): number => rest.reduce((a, b) => a + b, first);

/** The nearest first, then those last opened, then by name. */
export function inOrder(all: readonly Ranked[], openedMS: { readonly [id: string]: number }): readonly Ranked[] {
  const last = (r: Ranked) => Math.max(openedMS[r.property.id] ?? 0, r.recorded?.getTime() ?? 0);
  return [...all].sort(
    (a, b) => (a.awayM ?? Infinity) - (b.awayM ?? Infinity) || last(b) - last(a) || a.property.name.localeCompare(b.property.name),
  );
}
