// Which way and how far a thing is from where the phone is: for walking there, not for
// measuring.

import type { Geometry } from "../entry.ts";
import { bearingTo, metresBetween, nearestOnLine, type Place } from "../place/ground.ts";

export interface Toward {
  readonly distanceM: number;
  readonly bearingDeg: number; // from true north, clockwise
}

/** The way to a point, or to the nearest place of a line or of an area's edge; undefined for other shapes. */
export function toward(from: Place, place: Geometry): Toward | undefined {
  const to = nearest(place, from);
  return to && { distanceM: metresBetween(from, to), bearingDeg: bearingTo(from, to) };
}

function nearest(place: Geometry, from: Place): Place | undefined {
  switch (place.type) {
    case "Point":
      return { lon: place.coordinates[0], lat: place.coordinates[1] };
    case "LineString":
      return nearestOnLine(places(place.coordinates), from)?.at;
    case "Polygon":
      return nearestOnLine(places(place.coordinates[0] ?? []), from)?.at;
    default:
      return undefined;
  }
}

const places = (positions: readonly (readonly [number, number])[]): Place[] => positions.map(([lon, lat]) => ({ lon, lat }));
