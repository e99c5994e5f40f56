// Features laid out on a small sheet.

import { placeOf, type Feature } from "../../base/entry.ts";
import { fit } from "../../base/fit.ts";

type Positions = readonly (readonly [number, number])[];

export interface Shape {
  readonly id: string;
  readonly feature: Feature;
  readonly shape: "dot" | "stroke" | "ring";
  readonly pieces: readonly Positions[]; // each drawn for itself: a line walked with a gap has several
}

export interface Drawing {
  readonly shapes: readonly Shape[];
  readonly here: readonly [number, number] | undefined;
}

const margin = 14;
const most = 300; // marks a phone draws without a wait; the map shows all

/** The features with a place, fitted into a sheet with the y axis down. */
export function drawing(features: readonly Feature[], here: readonly [number, number] | undefined, width: number, height: number): Drawing {
  const placed = features
    .filter((f) => !f.struck)
    .flatMap((f) => {
      const place = positionsOf(f);
      return place ? [{ feature: f, ...place }] : [];
    });
  const shown = placed.slice(-most);
  const all = shown.flatMap((s) => s.pieces.flat());
  if (here) all.push(here);
  const at = fit(all, width, height, margin);
  return {
    shapes: shown.map((s) => ({ id: s.feature.id, feature: s.feature, shape: s.shape, pieces: s.pieces.map((piece) => piece.map(at)) })),
    here: here && at(here),
  };
}

function positionsOf(f: Feature): { shape: Shape["shape"]; pieces: readonly Positions[] } | undefined {
  const place = placeOf(f);
  switch (place?.type) {
    case "Point":
      return { shape: "dot", pieces: [[place.coordinates]] };
    case "LineString":
      return { shape: "stroke", pieces: [place.coordinates] };
    case "Polygon":
      return { shape: "ring", pieces: place.coordinates.slice(0, 1) };
    case "MultiPoint":
      return { shape: "dot", pieces: place.coordinates.map((at) => [at]) };
    case "MultiLineString":
      return { shape: "stroke", pieces: place.coordinates };
    case "MultiPolygon":
      return { shape: "ring", pieces: place.coordinates.flatMap((rings) => rings.slice(0, 1)) };
    default:
      return undefined;
  }
}

/** The SVG path of a shape: a dot is a stroke of no length with a round end. */
export function pathOf(s: Shape): string {
  return s.pieces
    .map(([first, ...rest]) => {
      if (!first) return "";
      if (s.shape === "dot") return `M${first[0]} ${first[1]}h.1`;
      return `M${first[0]} ${first[1]}${rest.map(([x, y]) => `L${x} ${y}`).join("")}${s.shape === "ring" ? "z" : ""}`;
    })
    .join("");
}
