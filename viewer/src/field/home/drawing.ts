// Features laid out on a small sheet: positions as degrees stretched by the latitude, which
// over a property is plan enough for a picture. Nothing is measured here.

import { placeOf, type Feature } from "../../base/entry.ts";

export interface Shape {
  readonly id: string;
  readonly feature: Feature;
  readonly shape: "dot" | "stroke" | "ring";
  readonly points: readonly (readonly [number, number])[];
}

export interface Drawing {
  readonly shapes: readonly Shape[];
  readonly here: readonly [number, number] | undefined;
  readonly total: number; // features with a place, drawn or not
}

const most = 300; // marks a phone draws without a wait; the map shows all

type Positions = readonly (readonly [number, number])[];

/** The features with a place, fitted into a sheet with the y axis down. */
export function drawing(features: readonly Feature[], here: readonly [number, number] | undefined, width: number, height: number): Drawing {
  const placed = features
    .filter((f) => !f.struck)
    .flatMap((f) => {
      const place = positionsOf(f);
      return place ? [{ feature: f, ...place }] : [];
    });
  const shown = placed.slice(-most);
  const all = shown.flatMap((s) => s.points);
  if (here) all.push(here);
  const at = fit(all, width, height);
  return {
    shapes: shown.map((s) => ({ id: s.feature.id, feature: s.feature, shape: s.shape, points: s.points.map(at) })),
    here: here && at(here),
    total: placed.length,
  };
}

function positionsOf(f: Feature): { shape: Shape["shape"]; points: Positions } | undefined {
  const place = placeOf(f);
  switch (place?.type) {
    case "Point":
      return { shape: "dot", points: [place.coordinates] };
    case "LineString":
      return { shape: "stroke", points: place.coordinates };
    case "Polygon":
      return place.coordinates[0] && { shape: "ring", points: place.coordinates[0] };
    default:
      return undefined; // other shapes come from elsewhere: the map draws them
  }
}

function fit(points: Positions, width: number, height: number): (p: readonly [number, number]) => [number, number] {
  const margin = 14;
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [lon, lat] of points) {
    [west, east] = [Math.min(west, lon), Math.max(east, lon)];
    [south, north] = [Math.min(south, lat), Math.max(north, lat)];
  }
  const narrowing = Math.cos((((south + north) / 2) * Math.PI) / 180);
  const [wide, tall] = [(east - west) * narrowing, north - south];
  const scale = Math.min((width - 2 * margin) / Math.max(wide, 1e-5), (height - 2 * margin) / Math.max(tall, 1e-5));
  return ([lon, lat]) => [
    round(width / 2 + (lon - (west + east) / 2) * narrowing * scale),
    round(height / 2 - (lat - (south + north) / 2) * scale),
  ];
}

const round = (v: number) => Math.round(v * 10) / 10;

/** The SVG path of a shape: a dot is a stroke of no length with a round end. */
export function pathOf(s: Shape): string {
  const [first, ...rest] = s.points;
  if (!first) return "";
  if (s.shape === "dot") return `M${first[0]} ${first[1]}h.1`;
  return `M${first[0]} ${first[1]}${rest.map(([x, y]) => `L${x} ${y}`).join("")}${s.shape === "ring" ? "z" : ""}`;
}
