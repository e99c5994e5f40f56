// Features laid out on a small sheet.

import { placeOf, type Feature } from "../../base/entry.ts";
import { fit } from "../../base/fit.ts";

export interface Shape {
  readonly id: string;
  readonly feature: Feature;
  readonly shape: "dot" | "stroke" | "ring";
  readonly points: readonly (readonly [number, number])[];
}

export interface Drawing {
  readonly shapes: readonly Shape[];
  readonly here: readonly [number, number] | undefined;
}

const margin = 14;
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
  const at = fit(all, width, height, margin);
  return {
    shapes: shown.map((s) => ({ id: s.feature.id, feature: s.feature, shape: s.shape, points: s.points.map(at) })),
    here: here && at(here),
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

/** The SVG path of a shape: a dot is a stroke of no length with a round end. */
export function pathOf(s: Shape): string {
  const [first, ...rest] = s.points;
  if (!first) return "";
  if (s.shape === "dot") return `M${first[0]} ${first[1]}h.1`;
  return `M${first[0]} ${first[1]}${rest.map(([x, y]) => `L${x} ${y}`).join("")}${s.shape === "ring" ? "z" : ""}`;
}
