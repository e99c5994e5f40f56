// The place so far along a line. Pure.

import type { Geometry } from "../../base/item.ts";
import { metresBetween, type Place } from "../../base/plane.ts";

/** Undefined beyond the line's ends. Chainages taped in a bed are longer than the line on a map, so it is a place to look, not to peg. */
export function placeAlong(line: readonly (readonly [number, number])[], chainageM: number): Place | undefined {
  let left = chainageM;
  if (left < 0) return undefined;
  for (let i = 1; i < line.length; i++) {
    const a = { lon: line[i - 1]![0], lat: line[i - 1]![1] };
    const b = { lon: line[i]![0], lat: line[i]![1] };
    const long = metresBetween(a, b);
    if (left <= long && long > 0) {
      const turn = ((b.lon - a.lon + 540) % 360) - 180;
      return { lon: ((a.lon + (turn * left) / long + 540) % 360) - 180, lat: a.lat + ((b.lat - a.lat) * left) / long };
    }
    left -= long;
  }
  return undefined;
}

/** How long a line was drawn or walked; undefined for what is no line. */
export function lineLengthM(geometry: Geometry | null | undefined): number | undefined {
  if (geometry?.type !== "LineString") return undefined;
  return geometry.coordinates
    .slice(1)
    .reduce(
      (sum, [lon, lat], i) => sum + metresBetween({ lon: geometry.coordinates[i]![0], lat: geometry.coordinates[i]![1] }, { lon, lat }),
      0,
    );
}
