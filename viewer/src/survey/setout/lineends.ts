// The ends of a gully's line as they lie on the ground, at one of which chainage 0 is. Pure.

import type { Geometry } from "../../base/entry.ts";
import { compass } from "../../base/words.ts";
import { bearingTo, placeAt, type Place } from "../../base/plane.ts";

/** As the kind thalweg has them. */
export const atStart = "start of the line",
  atEnd = "end of the line";

/** "south end", "north end": of the line's first and last place. */
export function endsOf(line: readonly (readonly [number, number])[]): readonly [string, string] {
  const [first, last] = [line[0]!, line[line.length - 1]!].map(placeAt) as [Place, Place];
  return [`${compass(bearingTo(last, first))} end`, `${compass(bearingTo(first, last))} end`];
}

/** The places of a line of one piece, undefined for anything else. */
export const lineOf = (geometry: Geometry | null | undefined) =>
  geometry?.type === "LineString" && geometry.coordinates.length > 1 ? geometry.coordinates : undefined;

/** What the end at which chainage 0 is is called: "north end"; undefined where there is no one line. */
export function endWords(zero: string, geometry: Geometry | null | undefined): string | undefined {
  const line = lineOf(geometry);
  if (!line || (zero !== atStart && zero !== atEnd)) return undefined;
  const [first, last] = endsOf(line);
  return zero === atStart ? first : last;
}
