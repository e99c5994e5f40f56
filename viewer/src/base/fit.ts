// Positions laid out on a small sheet, north up, to one scale and in the middle: degrees
// stretched by the latitude, which over a property is plan enough for a picture. Nothing is
// measured here.

import type { Position } from "./entry.ts";

type OnSheet = [x: number, y: number]; // y down, to a tenth

const leastDeg = 1e-5; // a metre: what is smaller is a point

/** Where a position comes to stand on a sheet that all the points fill up to its margins. */
export function fit(
  points: readonly Position[],
  width: number,
  height: number,
  marginX: number,
  marginY = marginX,
): (p: Position) => OnSheet {
  const lon0 = points[0]?.[0] ?? 0;
  const east = (lon: number) => (lon - lon0 + 540) % 360; // from opposite the first: the short way over the antimeridian
  const span = (all: readonly number[]): [number, number] => [
    all.reduce((a, b) => Math.min(a, b), Infinity),
    all.reduce((a, b) => Math.max(a, b), -Infinity),
  ];
  const [left, right] = span(points.map(([lon]) => east(lon)));
  const [south, north] = span(points.map(([, lat]) => lat));
  const narrowing = Math.cos((((south + north) / 2) * Math.PI) / 180);
  const scale = Math.min(
    (width - 2 * marginX) / Math.max((right - left) * narrowing, leastDeg),
    (height - 2 * marginY) / Math.max(north - south, leastDeg),
  );
  return ([lon, lat]) => [
    round(width / 2 + (east(lon) - (left + right) / 2) * narrowing * scale),
    round(height / 2 - (lat - (south + north) / 2) * scale),
  ];
}

const round = (v: number) => Math.round(v * 10) / 10;
