// How far and which way an item is from where the phone is: for walking there, not for
// measuring. Every screen that tells a distance has it from here, from the same fix. Pure.

import { compass, distance } from "./words.ts";
import { placeOf, type Feature, type Geometry, type Position } from "./entry.ts";
import { bearingTo, metresBetween, nearestOnLine, offset, placeAt, type Place } from "./plane.ts";

export interface Away {
  readonly distanceM: number; // to the nearest place of it; 0 within an area
  readonly bearingDeg: number; // from true north, clockwise
}

/** The way to a point, to the nearest place of a line, or to an area's edge; undefined where there is no position. */
export function awayTo(geometry: Geometry | null | undefined, from: Place): Away | undefined {
  const to = geometry && nearest(geometry, from);
  return to ? { distanceM: metresBetween(from, to), bearingDeg: bearingTo(from, to) } : undefined;
}

export const awayOf = (f: Feature, from: Place): Away | undefined => awayTo(placeOf(f), from);

/** Whether the way is shorter than the position is good for. */
export const isHere = (away: Away, accuracyM: number): boolean => away.distanceM <= accuracyM;

/** "120 m north-east", "here". */
export function awayWords(away: Away | undefined, accuracyM: number): string {
  if (!away) return "";
  return isHere(away, accuracyM) ? "here" : `${distance(away.distanceM)} ${compass(away.bearingDeg)}`;
}

function nearest(g: Geometry, from: Place): Place | undefined {
  switch (g.type) {
    case "Point":
      return placeAt(g.coordinates);
    case "MultiPoint":
      return closest(g.coordinates.map(placeAt), from);
    case "LineString":
      return onLine(g.coordinates, from);
    case "MultiLineString": // a broken walk
      return closest(
        g.coordinates.map((line) => onLine(line, from)),
        from,
      );
    case "Polygon":
      return inArea(g.coordinates, from);
    case "MultiPolygon":
      return closest(
        g.coordinates.map((rings) => inArea(rings, from)),
        from,
      );
    case "GeometryCollection":
      return closest(
        g.geometries.map((one) => nearest(one, from)),
        from,
      );
  }
}

const onLine = (line: readonly Position[], from: Place): Place | undefined => nearestOnLine(line.map(placeAt), from)?.at;

function closest(places: readonly (Place | undefined)[], from: Place): Place | undefined {
  let best: Place | undefined,
    leastM = Infinity;
  for (const place of places) {
    const m = place ? metresBetween(from, place) : Infinity;
    if (m < leastM) [best, leastM] = [place, m];
  }
  return best;
}

function inArea(rings: readonly (readonly Position[])[], from: Place): Place | undefined {
  const crossings = rings.reduce((n, ring) => n + crossingsOf(ring, from), 0);
  return crossings % 2 === 1
    ? from
    : closest(
        rings.map((ring) => onLine(ring, from)),
        from,
      );
}

/** How often a ring crosses the line that leads east from a place. */
function crossingsOf(ring: readonly Position[], from: Place): number {
  let n = 0;
  for (let i = 1; i < ring.length; i++) {
    const a = offset(from, placeAt(ring[i - 1]!)),
      b = offset(from, placeAt(ring[i]!));
    if (a.north > 0 !== b.north > 0 && a.east - (a.north * (b.east - a.east)) / (b.north - a.north) > 0) n++;
  }
  return n;
}
