// Where on the map the symbol of an item stands, and how far it is shifted from there.

import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import MultiLineString from "ol/geom/MultiLineString.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";

/** How far from its place a symbol stands, in units of the map, and whether it is drawn small there, without its name. */
export type Shift = readonly [east: number, north: number, size?: "small"];

export const unshifted: Shift = [0, 0];
export const isShifted = ([east, north]: Shift) => east !== 0 || north !== 0;

/** Where the symbol of a work stands: on its place, the middle of its line, or inside its area. */
export function symbolPlace(geometry: Geometry): Geometry {
  if (geometry instanceof Polygon) return new Point(geometry.getInteriorPoint().getFirstCoordinate());
  if (geometry instanceof MultiPolygon) {
    const [first] = geometry.getPolygons();
    return first ? symbolPlace(first) : geometry;
  }
  if (geometry instanceof LineString) return new Point(geometry.getCoordinateAt(0.5));
  if (geometry instanceof MultiLineString) {
    const [first] = geometry.getLineStrings();
    return first ? symbolPlace(first) : geometry;
  }
  return geometry;
}

/** Where a symbol stands that is shifted from its place. */
export function shifted(geometry: Geometry, [east, north]: Shift): [number, number] {
  const [x = 0, y = 0] = (symbolPlace(geometry) as Point).getFlatCoordinates();
  return [x + east, y + north];
}

/** Places every so many units along each line or ring, the first half a step in. */
export function placesAlong(geometry: Geometry, step: number): number[][] {
  return linesOf(geometry).flatMap((line) => {
    const n = Math.min(400, Math.max(1, Math.round(line.getLength() / step)));
    return Array.from({ length: n }, (_, i) => line.getCoordinateAt((i + 0.5) / n));
  });
}

function linesOf(geometry: Geometry): LineString[] {
  if (geometry instanceof LineString) return [geometry];
  if (geometry instanceof MultiLineString) return geometry.getLineStrings();
  if (geometry instanceof Polygon) return geometry.getLinearRings().map((ring) => new LineString(ring.getCoordinates()));
  return geometry instanceof MultiPolygon ? geometry.getPolygons().flatMap(linesOf) : [];
}
