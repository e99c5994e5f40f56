// Distances and directions over a few kilometres, for what cannot wait for the
// computations: whether a fix has moved, which way a thing lies, where a thumb pointed.
// What is shown as a figure of a work comes from package model.

import type { Geometry, Position } from "./entry.ts";

export interface Place {
  readonly lon: number; // degrees, WGS84
  readonly lat: number;
}

/** A position of GeoJSON as a place. */
export const placeAt = ([lon, lat]: Position): Place => ({ lon, lat });

/** The lines of a geometry: one, or the pieces of a broken walk; none of what is no line. */
export function linesIn(geometry: Geometry | undefined): readonly (readonly Place[])[] {
  if (geometry?.type === "LineString") return [geometry.coordinates.map(placeAt)];
  return geometry?.type === "MultiLineString" ? geometry.coordinates.map((line) => line.map(placeAt)) : [];
}

/** A longitude, or degrees from one to another, on the short way over the antimeridian: from -180 to below 180. */
const shortWay = (deg: number): number => ((deg + 540) % 360) - 180;

const equatorM = 6378137;
const flattening = 1 / 298.257223563;
const e2 = flattening * (2 - flattening);
const rad = Math.PI / 180;

/**
 * Metres of a degree east and north at a latitude, from the radii of curvature of the
 * WGS84 ellipsoid: N = a / √(1 − e² sin² φ) and M = a (1 − e²) / (1 − e² sin² φ)^(3/2)
 * (Snyder, Map Projections: A Working Manual, 1987, equations 4-18 and 4-20; from memory).
 */
export function metresPerDegree(lat: number): { east: number; north: number } {
  const s = Math.sin(lat * rad);
  const w = Math.sqrt(1 - e2 * s * s);
  return { east: (equatorM / w) * Math.cos(lat * rad) * rad, north: ((equatorM * (1 - e2)) / (w * w * w)) * rad };
}

/** Metres east and north from one place to another; within 1 mm over 1 km, 0.1 % over 100 km, not near the poles. */
export function offset(from: Place, to: Place): { east: number; north: number } {
  const per = metresPerDegree((from.lat + to.lat) / 2);
  return { east: shortWay(to.lon - from.lon) * per.east, north: (to.lat - from.lat) * per.north };
}

export function metresBetween(a: Place, b: Place): number {
  const d = offset(a, b);
  return Math.hypot(d.east, d.north);
}

/** Degrees clockwise from true north, 0 to below 360; 0 where both are the same place. */
export function bearingTo(from: Place, to: Place): number {
  const d = offset(from, to);
  return (Math.atan2(d.east, d.north) / rad + 360) % 360;
}

/** The place so many metres east and north of another. */
export function moved(from: Place, eastM: number, northM: number): Place {
  const first = metresPerDegree(from.lat);
  const lat = from.lat + northM / metresPerDegree(from.lat + northM / first.north / 2).north;
  const lon = from.lon + eastM / metresPerDegree((from.lat + lat) / 2).east;
  return { lon: shortWay(lon), lat };
}

/** The place so great a share of the way from one place to another. */
export const between = (a: Place, b: Place, share: number): Place => ({
  lon: shortWay(a.lon + share * shortWay(b.lon - a.lon)),
  lat: a.lat + share * (b.lat - a.lat),
});

/** How long a line through places is. */
export const lengthOf = (line: readonly Place[]): number => line.slice(1).reduce((sum, p, i) => sum + metresBetween(line[i]!, p), 0);

/** The nearest place on a line, how far off and how far along it is, and after which of its positions. */
export interface OnLine {
  readonly at: Place;
  readonly offM: number;
  readonly alongM: number;
  readonly after: number;
}

export function nearestOnLine(line: readonly Place[], to: Place): OnLine | null {
  let best: OnLine | null = null,
    beforeM = 0;
  for (let i = 0; i < line.length; i++) {
    const a = line[i]!;
    const here = offset(a, to);
    const along = line[i + 1] ? offset(a, line[i + 1]!) : { east: 0, north: 0 };
    const long2 = along.east ** 2 + along.north ** 2;
    const t = long2 === 0 ? 0 : Math.min(1, Math.max(0, (here.east * along.east + here.north * along.north) / long2));
    const offM = Math.hypot(here.east - t * along.east, here.north - t * along.north);
    if (!best || offM < best.offM) best = { at: between(a, line[i + 1] ?? a, t), offM, alongM: beforeM + t * Math.sqrt(long2), after: i };
    beforeM += Math.sqrt(long2);
  }
  return best;
}
