// The ends of a gully's line as they lie on the ground, at one of which chainage 0 is. Pure.

import type { Geometry, Position } from "../../base/entry.ts";
import { compass } from "../../base/words.ts";
import { bearingTo, placeAt, type Place } from "../../base/plane.ts";

/** As the kind thalweg has them. */
export const atStart = "start of the line",
  atEnd = "end of the line";

export type Line = readonly Position[];

/** "south end", "north end": of the first place of the first piece of a line and the last of the last. */
export function endsOf(pieces: readonly Line[]): readonly [string, string] {
  const line = pieces.flat();
  const [first, last] = [line[0]!, line[line.length - 1]!].map(placeAt) as [Place, Place];
  return [`${compass(bearingTo(last, first))} end`, `${compass(bearingTo(first, last))} end`];
}

/** The places of a line of one piece, undefined for anything else. */
export const lineOf = (geometry: Geometry | null | undefined) =>
  geometry?.type === "LineString" && geometry.coordinates.length > 1 ? geometry.coordinates : undefined;

/** The pieces of a line as it was walked, with a gap between each and the next; undefined for anything else. */
export function piecesOf(geometry: Geometry | null | undefined): readonly Line[] | undefined {
  if (geometry?.type !== "MultiLineString") return lineOf(geometry) && [lineOf(geometry)!];
  const pieces = geometry.coordinates.filter((piece) => piece.length > 1);
  return pieces.length > 0 ? pieces : undefined;
}

/** What the end at which chainage 0 is is called: "north end"; undefined where there is no line. */
export function endWords(zero: string, geometry: Geometry | null | undefined): string | undefined {
  const pieces = piecesOf(geometry);
  if (!pieces || (zero !== atStart && zero !== atEnd)) return undefined;
  const [first, last] = endsOf(pieces);
  return zero === atStart ? first : last;
}
