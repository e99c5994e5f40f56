// The place so far along a line. Pure.

import type { Geometry } from "../../base/item.ts";
import { metresBetween, offset, type Place } from "../../base/plane.ts";

/** Undefined beyond the line's ends. Chainages taped in a bed are longer than the line on a map, so it is a place to look, not to peg. */
export function placeAlong(line: readonly (readonly [number, number])[], chainageM: number): Place | undefined {
  let left = chainageM;
  if (left < 0) return undefined;
  for (let i = 1; i < line.length; i++) {
    const a = { lon: line[i - 1]![0], lat: line[i - 1]![1] };
    const b = { lon: line[i]![0], lat: line[i]![1] };
    const long = metresBetween(a, b);
    if (left <= long && long > 0) {
      const turn = ((b.lon - a.lon + 540) % 360) - 180;
      return { lon: ((a.lon + (turn * left) / long + 540) % 360) - 180, lat: a.lat + ((b.lat - a.lat) * left) / long };
    }
    left -= long;
  }
  return undefined;
}

/** How long a line was drawn or walked; undefined for what is no line. */
export function lineLengthM(geometry: Geometry | null | undefined): number | undefined {
  if (geometry?.type !== "LineString") return undefined;
  return geometry.coordinates
    .slice(1)
    .reduce(
      (sum, [lon, lat], i) => sum + metresBetween({ lon: geometry.coordinates[i]![0], lat: geometry.coordinates[i]![1] }, { lon, lat }),
      0,
    );
}

type Line = readonly (readonly [number, number])[];

/** How far along a line the place on it lies that is nearest to another place, and how far off that one is. */
export function nearestAlong(line: Line, to: Place): { readonly alongM: number; readonly offM: number } {
  let [before, best] = [0, { alongM: 0, offM: Infinity }];
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [line[i - 1]!, line[i]!].map(([lon, lat]) => ({ lon, lat })) as [Place, Place];
    const [leg, at] = [offset(a, b), offset(a, to)];
    const long = Math.hypot(leg.east, leg.north);
    const part = long > 0 ? Math.min(1, Math.max(0, (leg.east * at.east + leg.north * at.north) / long ** 2)) : 0;
    const offM = Math.hypot(at.east - part * leg.east, at.north - part * leg.north);
    if (offM < best.offM) best = { alongM: before + part * long, offM };
    before += long;
  }
  return best;
}

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
  const { alongM, offM } = nearestAlong(line, from);
  const to = offM > Math.max(farOffM, 3 * from.accuracyM) ? undefined : placeAlong(line, alongM + (down ? -upM : upM));
  const plusMinusM = Math.hypot(from.accuracyM, hereAccuracyM, stretch * upM);
  return to && { to, plusMinusM, rough: plusMinusM > upM / 2 };
}
