// What an entry keeps of the fix that placed it.

import type { Fields } from "../base/entry.ts";
import { rounded } from "../base/number.ts";
import type { Fix } from "./fix.ts";

/** Above this a fix is poor for the works of a gully, and the officer is told. Common practice, no source. */
export const poorM = 10;

/**
 * Fields of a point placed by a fix: its place, accuracy and height as kinds have them, and
 * under "receiver" the raw fields beside them. Which height the phone means is unknown.
 */
export function placed(fix: Fix): Fields {
  const raw = fix.newest;
  return {
    geometry: { type: "Point", coordinates: [rounded(fix.lon, 9), rounded(fix.lat, 9)] },
    accuracyM: rounded(fix.accuracyM, 2),
    positionBasis: "GPS",
    ...(fix.heightM !== undefined && { gpsHeightM: rounded(fix.heightM, 2) }),
    receiver: {
      fixes: fix.count,
      at: fix.at.toISOString(),
      heightDatum: "unknown",
      platform: navigator.userAgent,
      ...(raw && { newest: raw }),
    },
  };
}

/** One figure for positions of different worth: the root of the mean square of their accuracies. */
export function meanAccuracyM(accuraciesM: readonly number[]): number {
  return rounded(Math.sqrt(accuraciesM.reduce((sum, m) => sum + m ** 2, 0) / accuraciesM.length), 2);
}
