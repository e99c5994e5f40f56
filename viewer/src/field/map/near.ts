// Everything on the map as a list, nearest first: what a canvas cannot tell a screen reader.

import type { Feature } from "../entry.ts";
import { kindOf, textOf } from "../entry.ts";
import { called, compass, distance } from "../app/words.ts";
import { kindNamed } from "../app/kinds.ts";
import type { Place } from "../place/ground.ts";
import { bearingTo, metresBetween } from "../place/ground.ts";
import type { Scene } from "./scene.ts";

export interface Near {
  readonly thing: Feature;
  readonly m: number; // to the middle of the box it lies in
  readonly bearingDeg: number;
}

/** The nearest things of a scene, the nearest first; in the scene's own order without a place. */
export function nearest(scene: Scene, from: Place | null, most: number): Near[] {
  const at = (i: number): Place => ({
    lon: (scene.boxes[i * 4]! + scene.boxes[i * 4 + 2]!) / 2,
    lat: (scene.boxes[i * 4 + 1]! + scene.boxes[i * 4 + 3]!) / 2,
  });
  if (!from) return scene.things.slice(0, most).map((thing) => ({ thing, m: NaN, bearingDeg: NaN }));
  return scene.things
    .map((thing, i) => ({ thing, i, m: metresBetween(from, at(i)) }))
    .sort((a, b) => a.m - b.m)
    .slice(0, most)
    .map(({ thing, i, m }) => ({ thing, m, bearingDeg: bearingTo(from, at(i)) }));
}

/** "120 m north-east". */
export function wayWords({ m, bearingDeg }: Pick<Near, "m" | "bearingDeg">): string {
  return Number.isNaN(m) ? "" : `${distance(m)} ${compass(bearingDeg)}`;
}

export function nameOf(thing: Feature): string {
  return called(textOf(thing, "name"), kindNamed(kindOf(thing)).label);
}
