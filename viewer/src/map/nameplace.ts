// Where the name of a line is written on the map: in sight, and past all symbols.

import { buffer, containsXY, type Extent } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";

/** Whether no symbol stands within a box around a place, its halves in pixels, at a resolution. */
export type IsFree = (at: readonly number[], halfWidthPx: number, halfHeightPx: number, resolution: number) => boolean;

/** From the end of a line to its name. */
export const beyondPx = 26;
/** From the edge of what is in sight to a name. */
export const edgePx = 12;
const mostTried = 4; // straight parts of a line
const letterRoomPx = 8; // each way of a letter of a name

/**
 * A stretch in sight along which a name of this width can be written without a bend and
 * past all symbols, on the longest straight part of the line; null when there is none.
 */
export function straightStretch(
  geometry: Geometry,
  resolution: number,
  widthPx: number,
  isFree: IsFree,
  sight?: Extent,
): LineString | null {
  const half = ((widthPx + 10) / 2) * resolution;
  for (const bendPx of [14, 30]) {
    const simple = geometry.simplify(bendPx * resolution);
    const line =
      simple instanceof LineString ? simple.getCoordinates() : simple instanceof Polygon ? (simple.getCoordinates()[0] ?? []) : [];
    const stretches = line.slice(1).flatMap((to, i) => inSight(line[i] ?? to, to, sight, edgePx * resolution));
    for (const stretch of stretches.sort((a, b) => b.getLength() - a.getLength()).slice(0, mostTried)) {
      const along = freePart(stretch, half, widthPx, resolution, isFree);
      if (along) return along;
    }
  }
  return null;
}

function freePart(stretch: LineString, half: number, widthPx: number, resolution: number, isFree: IsFree): LineString | null {
  const long = stretch.getLength();
  if (long < 2 * half) return null;
  const letters = Math.ceil(widthPx / (2 * letterRoomPx));
  for (const part of [0.5, 0.75, 0.25, 0.9, 0.1]) {
    const middle = Math.min(Math.max(part * long, half), long - half);
    const on = (share: number) => stretch.getCoordinateAt((middle + share * half) / long); // from -1 to 1 along the name
    const clear = Array.from({ length: letters + 1 }, (_, i) => on((2 * i) / letters - 1)).every((at) =>
      isFree(at, letterRoomPx, letterRoomPx, resolution),
    );
    if (clear) return new LineString([on(-1), on(1)]);
  }
  return null;
}

/** The part of a straight line that lies in sight, so far from its edge; none when it does not. */
function inSight(from: number[], to: number[], sight: Extent | undefined, margin: number): LineString[] {
  if (!sight) return [new LineString([from, to])];
  let [start, end] = [0, 1];
  for (const axis of [0, 1] as const) {
    const [a, along] = [from[axis]!, to[axis]! - from[axis]!];
    const [low, high] = [sight[axis]! + margin, sight[axis + 2]! - margin];
    if (along === 0 && (a < low || a > high)) return [];
    if (along === 0) continue;
    const [one, other] = [(low - a) / along, (high - a) / along];
    [start, end] = [Math.max(start, Math.min(one, other)), Math.min(end, Math.max(one, other))];
  }
  if (start >= end) return [];
  const part = (t: number) => [from[0]! + t * (to[0]! - from[0]!), from[1]! + t * (to[1]! - from[1]!)];
  return [new LineString([part(start), part(end)])];
}

/** An end of a line beyond which its name has room in sight, the last first, and to which side. */
export function beyondAnEnd(
  geometry: Geometry,
  resolution: number,
  widthPx: number,
  isFree: IsFree,
  sight?: Extent,
): { at: Point; way: 1 | -1 } | null {
  if (!(geometry instanceof LineString)) return null;
  const [first, last] = [geometry.getFirstCoordinate(), geometry.getLastCoordinate()];
  for (const [end, other] of [
    [last, first],
    [first, last],
  ] as const) {
    const away = end[0]! >= other[0]! ? 1 : -1;
    for (const way of [away, -away] as (1 | -1)[]) {
      const middle = [end[0]! + way * (beyondPx + widthPx / 2) * resolution, end[1]!];
      const seen =
        !sight || (containsXY(sight, end[0]!, end[1]!) && containsXY(sight, end[0]! + way * (beyondPx + widthPx) * resolution, end[1]!));
      if (seen && isFree(middle, widthPx / 2, 12, resolution)) return { at: new Point(end), way };
    }
  }
  return null;
}

/** A place in sight beside a line where its name has room, clear of the line; null when there is none. */
export function beside(geometry: Geometry, resolution: number, widthPx: number, isFree: IsFree, sight: Extent): Point | null {
  if (!(geometry instanceof LineString)) return null;
  const half = widthPx / 2;
  const inside = buffer(sight, -edgePx * resolution);
  const clear = ([x, y]: [number, number]) =>
    [-1, -0.5, 0, 0.5, 1].every((share) => {
      const at = [x + share * half * resolution, y];
      const [nearX = 0, nearY = 0] = geometry.getClosestPoint(at);
      return containsXY(inside, at[0]!, y) && Math.hypot(nearX - at[0]!, nearY - y) > 12 * resolution;
    }) && isFree([x, y], half, 12, resolution);
  const seen = Array.from({ length: 41 }, (_, i) => geometry.getCoordinateAt(i / 40)).filter((at) => containsXY(inside, at[0]!, at[1]!));
  const [midX, midY] = [(sight[0]! + sight[2]!) / 2, (sight[1]! + sight[3]!) / 2];
  seen.sort((a, b) => Math.hypot(a[0]! - midX, a[1]! - midY) - Math.hypot(b[0]! - midX, b[1]! - midY));
  for (const [x = 0, y = 0] of seen) {
    for (const [right, up] of [
      [0, 20],
      [0, -20],
      [half + 16, 0],
      [-half - 16, 0],
      [half, 16],
      [-half, -16],
      [half, -16],
      [-half, 16],
    ] as const) {
      const at: [number, number] = [x + right * resolution, y + up * resolution];
      if (clear(at)) return new Point(at);
    }
  }
  return null;
}
