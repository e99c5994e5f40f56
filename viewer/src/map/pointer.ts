// What a finger or a pointer on a map means.

import type Feature from "ol/Feature.js";
import type Geometry from "ol/geom/Geometry.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import Polygon from "ol/geom/Polygon.js";
import { symbolPlace } from "./symbolplace.ts";

/** How far from a thing one may press and still mean it: half of a target. */
export const closeEnoughPx = 28;

/** The thing whose place, line, symbol or area lies under the finger; the nearest wins. */
export function nearest<Thing>(
  drawn: Iterable<readonly [Thing, Feature<Geometry>]>,
  at: readonly number[],
  resolution: number,
): Thing | null {
  let best: Thing | null = null;
  let least = Infinity;
  for (const [thing, f] of drawn) {
    const geometry = f.getGeometry();
    const px = geometry ? distancePx(geometry, at as number[], resolution) : Infinity;
    if (px <= closeEnoughPx && px < least) [best, least] = [thing, px];
  }
  return best;
}

function distancePx(geometry: Geometry, at: number[], resolution: number): number {
  const px = (to: number[]) => Math.hypot(to[0]! - at[0]!, to[1]! - at[1]!) / resolution;
  const toShape = geometry.intersectsCoordinate(at) ? 0 : px(geometry.getClosestPoint(at));
  const toSymbol = px(symbolPlace(geometry).getClosestPoint(at));
  const area = geometry instanceof Polygon || geometry instanceof MultiPolygon;
  // A point or line inside an area is meant before the area around it.
  return Math.min(toSymbol, area ? Math.max(toShape, closeEnoughPx - 1) : toShape);
}
