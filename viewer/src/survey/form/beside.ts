// Which gully, track or fence a thing stands in or on, the nearest one, measured to the line
// itself, and in which paddock: only where the fix can tell it from the others. Pure.

import { kindOf, placeOf, textOf, type Feature } from "../../base/entry.ts";
import { linesIn, nearestOnLine, placeAt, type Place } from "../../base/plane.ts";

export interface Beside {
  readonly feature: Feature;
  readonly awayM?: number; // absent where one of the two has no place
}

/** A place and how good it is. */
export interface Fixed extends Place {
  readonly accuracyM: number;
}

/** Lines of these kinds, the nearest first; those without a place last, the newest of them first. */
export function besideOf(kinds: readonly string[], features: readonly Feature[], at: Place | undefined): readonly Beside[] {
  return features
    .filter((f) => !f.struck && kinds.includes(kindOf(f)))
    .map((feature): Beside => {
      const awayM = at && lineAway(feature, at);
      return awayM === undefined ? { feature } : { feature, awayM };
    })
    .sort((a, b) => (a.awayM ?? Infinity) - (b.awayM ?? Infinity) || b.feature.stamp.localeCompare(a.feature.stamp));
}

/** A gully that takes a small dam is no wider. Common practice, no source. */
const gullyM = 10;

/** The nearest, when the fix can tell: it lies on it or as near as the fix is good, and twice that nearer than to the next. */
export function tellable(all: readonly Beside[], at: Fixed | undefined): Beside | undefined {
  const [first, second] = all;
  if (!at || first?.awayM === undefined || first.awayM > Math.max(gullyM, at.accuracyM)) return undefined;
  if (second?.awayM !== undefined && second.awayM - first.awayM < 2 * at.accuracyM) return undefined;
  return first;
}

/** A line farther off is not the one she works on. Common practice, no source. */
const farM = 50;

/**
 * Where no fix tells: the only line that works are proposed on; undefined where there is none, or several.
 * A work names its line by the field.
 */
export function onlyPlanned(lines: readonly Beside[], field: "thalweg" | "track", features: readonly Feature[]): Feature | undefined {
  const on = new Set(features.filter((f) => !f.struck && textOf(f, "status") === "proposed").map((f) => textOf(f, field)));
  const [only, another] = lines.filter(({ feature, awayM }) => on.has(feature.id) && (awayM === undefined || awayM <= farM));
  return another ? undefined : only?.feature;
}

/** Where a feature is taken to stand: its point, or the middle between the ends of its line. */
export function standsAt(f: Feature | undefined): Fixed | undefined {
  const place = f && placeOf(f);
  const accuracyM = typeof f?.fields["accuracyM"] === "number" ? f.fields["accuracyM"] : undefined;
  if (!place || accuracyM === undefined) return undefined;
  if (place.type === "Point") return { lon: place.coordinates[0], lat: place.coordinates[1], accuracyM };
  if (place.type !== "LineString") return undefined;
  const a = place.coordinates[0],
    b = place.coordinates[place.coordinates.length - 1];
  return a && b && { lon: (a[0] + b[0]) / 2, lat: (a[1] + b[1]) / 2, accuracyM };
}

function lineAway(f: Feature, at: Place): number | undefined {
  const offs = linesIn(placeOf(f)).flatMap((line) => nearestOnLine(line, at)?.offM ?? []);
  return offs.length > 0 ? Math.min(...offs) : undefined;
}

/** The only paddock that a place lies in, farther from its fences than the fix may be out. */
export function paddockAround(features: readonly Feature[], at: Fixed | undefined): Feature | undefined {
  if (!at) return undefined;
  const [only, another] = features.filter((f) => !f.struck && kindOf(f) === "paddock" && surrounds(f, at));
  return another ? undefined : only;
}

function surrounds(f: Feature, at: Fixed): boolean {
  const place = placeOf(f);
  const polygons = place?.type === "Polygon" ? [place.coordinates] : place?.type === "MultiPolygon" ? place.coordinates : [];
  const rings = polygons.flat().map((ring) => ring.map(placeAt));
  const clear = rings.every((ring) => (nearestOnLine(ring, at)?.offM ?? 0) > at.accuracyM);
  return clear && rings.filter((ring) => windsRound(ring, at)).length % 2 === 1; // a hole is no part of it
}

/** Whether a line north from the place crosses the ring an odd number of times. */
const windsRound = (ring: readonly Place[], { lon, lat }: Place): boolean =>
  ring.slice(1).filter((b, i) => {
    const a = ring[i]!;
    return a.lon > lon !== b.lon > lon && lat < a.lat + ((b.lat - a.lat) * (lon - a.lon)) / (b.lon - a.lon);
  }).length %
    2 ===
  1;
