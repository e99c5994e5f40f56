// The place so far along a line. Pure.

import type { Geometry, Position } from "../../base/entry.ts";
import { between, lengthOf, metresBetween, nearestOnLine, placeAt, type Place } from "../../base/plane.ts";

/** Undefined beyond the line's ends. Chainages taped in a bed are longer than the line on a map, so it is a place to look, not to peg. */
export function placeAlong(line: Line, chainageM: number): Place | undefined {
  let left = chainageM;
  if (left < 0) return undefined;
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [placeAt(line[i - 1]!), placeAt(line[i]!)];
    const long = metresBetween(a, b);
    if (left <= long && long > 0) return between(a, b, left / long);
    left -= long;
  }
  return undefined;
}

/** How long a line was drawn or walked; undefined for what is no line. */
export const lineLengthM = (geometry: Geometry | undefined): number | undefined =>
  geometry?.type === "LineString" ? lengthOf(geometry.coordinates.map(placeAt)) : undefined;

type Line = readonly Position[];

/** By how much of itself a length along the line may differ from the tape, as figures.stretch has it. */
export function stretchOf(lineM: number, bed: readonly { readonly chainageM: number }[]): number {
  const tapedM = bed.length > 1 ? bed[bed.length - 1]!.chainageM - bed[0]!.chainageM : 0;
  const off = tapedM > 0 && lineM > 0 ? Math.abs(lineM - tapedM) / Math.max(lineM, tapedM) : 0;
  return off <= mostStretch || tapedM > lineM ? Math.min(Math.max(leastStretch, off), mostStretch) : leastStretch;
}

const leastStretch = 0.1,
  mostStretch = 0.3;

/** How far off its line a fix may lie and still tie the tape to it, beyond three times its accuracy. Common practice, no source. */
const farOffM = 10;

/**
 * The place so far up the gully from one whose position is known, and its ± from here: of both
 * fixes, and of the line against the tape between. The two are tied where the tape begins, not
 * at an end of the line, for a line walked with a receiver may be many metres too long.
 * Undefined where that is off the line; "rough" where the ± is more than half of the way.
 */
export function upFrom(
  line: Line,
  down: boolean,
  from: Place & { readonly accuracyM: number },
  upM: number,
  stretch: number,
  hereAccuracyM: number,
): { readonly to: Place; readonly plusMinusM: number; readonly rough: boolean } | undefined {
  const on = nearestOnLine(line.map(placeAt), from);
  const to = on && on.offM <= Math.max(farOffM, 3 * from.accuracyM) ? placeAlong(line, on.alongM + (down ? -upM : upM)) : undefined;
  const plusMinusM = Math.hypot(from.accuracyM, hereAccuracyM, stretch * upM);
  return to && { to, plusMinusM, rough: plusMinusM > upM / 2 };
}
