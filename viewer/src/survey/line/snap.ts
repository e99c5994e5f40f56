// Putting a position on a gully's thalweg, so that what stands in the gully lies on its line.

import { type Feature, kindOf, placeOf } from "../../base/entry.ts";
import { linesIn, metresBetween, nearestOnLine, type Place } from "../../base/plane.ts";

export interface Thalweg {
  readonly id: string;
  readonly lines: readonly (readonly Place[])[];
}

export function thalwegs(features: readonly Feature[]): Thalweg[] {
  return features.flatMap((f) => {
    const lines = f.struck || kindOf(f) !== "thalweg" ? [] : linesIn(placeOf(f));
    return lines.length > 0 ? [{ id: f.id, lines }] : [];
  });
}

/** The place on the nearest thalweg within reach; one of its own positions before a place between two. */
export function snap(all: readonly Thalweg[], to: Place, reachM: number): { at: Place; thalweg: string; offM: number } | null {
  let best: { at: Place; thalweg: string; offM: number } | null = null;
  for (const { id, lines } of all) {
    for (const line of lines) {
      const near = nearestOnLine(line, to);
      if (!near || near.offM > reachM || (best && near.offM >= best.offM)) continue;
      best = { at: near.at, thalweg: id, offM: near.offM };
      const ends = [line[near.after], line[near.after + 1]].filter(
        (p): p is Place => p !== undefined && metresBetween(p, to) <= reachM / 2,
      );
      const corner = ends.sort((a, b) => metresBetween(a, to) - metresBetween(b, to))[0];
      if (corner) best = { at: corner, thalweg: id, offM: metresBetween(corner, to) };
    }
  }
  return best;
}
