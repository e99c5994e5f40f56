// From positions on the earth to places on the map: spherical Mercator, with the
// antimeridian stitched so that a property lying on it stays in one piece.

import type Geometry from "ol/geom/Geometry.js";
import GeometryCollection from "ol/geom/GeometryCollection.js";
import LineString from "ol/geom/LineString.js";
import MultiLineString from "ol/geom/MultiLineString.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import type { Geometry as LandGeometry, Position } from "../base/entry.ts";

const radius = 6378137; // m: of the Mercator sphere, which is also the ellipsoid's equator
const flattening = 1 / 298.257223563; // WGS84

type Place = [number, number];

/** A longitude near which everything is drawn: that of the first position there is. */
export function referenceLongitude(geometries: Iterable<LandGeometry | null | undefined>): number {
  for (const geometry of geometries) {
    const first = geometry && firstLongitude(geometry);
    if (typeof first === "number") return first;
  }
  return 0;
}

function firstLongitude(g: LandGeometry): number | undefined {
  if (g.type === "GeometryCollection") return g.geometries.map(firstLongitude).find((lon) => lon !== undefined);
  let at: unknown = g.coordinates;
  while (Array.isArray(at)) at = at[0];
  return at as number | undefined;
}

export function project([lon, lat]: Position, near: number): Place {
  const turned = lon - 360 * Math.round((lon - near) / 360);
  const held = Math.min(85, Math.max(-85, lat));
  return [(radius * turned * Math.PI) / 180, radius * Math.log(Math.tan(Math.PI / 4 + (held * Math.PI) / 360))];
}

/** The longitude and latitude of a place on the map. */
export function offMap([x = 0, y = 0]: readonly number[]): { lon: number; lat: number } {
  const lon = ((x / radius) * 180) / Math.PI;
  return { lon: lon - 360 * Math.round(lon / 360), lat: ((2 * Math.atan(Math.exp(y / radius)) - Math.PI / 2) * 180) / Math.PI };
}

export function onMap(g: LandGeometry, near: number): Geometry {
  const line = (ps: readonly Position[]): Place[] => ps.map((p) => project(p, near));
  const lines = (ls: readonly (readonly Position[])[]): Place[][] => ls.map(line);
  switch (g.type) {
    case "Point":
      return new Point(project(g.coordinates, near));
    case "MultiPoint":
      return new MultiPoint(line(g.coordinates));
    case "LineString":
      return new LineString(line(g.coordinates));
    case "MultiLineString":
      return new MultiLineString(lines(g.coordinates));
    case "Polygon":
      return new Polygon(lines(g.coordinates));
    case "MultiPolygon":
      return new MultiPolygon(g.coordinates.map(lines));
    case "GeometryCollection":
      return new GeometryCollection(g.geometries.map((part) => onMap(part, near)));
  }
}

/**
 * Metres on the ground for one unit of map to the east, at a northing of the map. On the
 * WGS84 ellipsoid a degree of longitude is N cos(lat) wide with N = a / sqrt(1 - e² sin² lat)
 * (Snyder, Map Projections: A Working Manual, 1987, eq. 4-20 and 4-21), and the map draws
 * it as wide as on the equator. Under 1e-9 off within the property; the scale bar is read to 1 %.
 */
export function groundMetresPerUnit(northing: number): number {
  const lat = 2 * Math.atan(Math.exp(northing / radius)) - Math.PI / 2;
  const e2 = flattening * (2 - flattening);
  return Math.cos(lat) / Math.sqrt(1 - e2 * Math.sin(lat) ** 2);
}
