// The mean of fixes taken while the officer stands still.

import { metresBetween, offset, moved } from "./ground.ts";
import type { RawFix } from "./raw.ts";

/** What has been taken into the mean, newest last, and those that lie elsewhere. */
export interface Mean {
  readonly fixes: readonly RawFix[];
  readonly aside: readonly RawFix[];
}

export const noMean: Mean = { fixes: [], aside: [] };

/** So many fixes in a row elsewhere mean that the officer has moved, not that one fix was bad; as many as there are in the mean do, too. */
const movedAfter = 3;
/** From this speed on the officer walks. A receiver at rest tells less; common practice, no source. */
const walkMps = 0.7;
/** So many of the newest fixes tell where she is now. */
const nowFixes = 3;
/** Ten minutes at a fix a second; the oldest go. */
const mostFixes = 600;

/**
 * Takes in a fix. One that lies farther off than both can doubt is put aside; when three in
 * a row do, or as many as the mean had, the officer has moved, and the mean starts again with
 * them: a lone fix of a moment ago is no better than the one that contradicts it. An officer
 * who walks moves by less than that from fix to fix: the receiver tells her speed, or else the
 * newest fixes draw away from those before. Then those of the way here are left out, so that
 * the mean is never farther behind than it claims to be good.
 */
export function taken(mean: Mean, fix: RawFix): Mean {
  if (fix.speedMps !== undefined && fix.speedMps >= walkMps) return { fixes: [fix], aside: [] };
  const now = meanOf(mean);
  if (!now || metresBetween(now, fix) <= 2 * (now.accuracyM + fix.accuracyM)) {
    const fixes = [...mean.fixes, fix].slice(-mostFixes);
    return { fixes: drawnAway(fixes) ? fixes.slice(-nowFixes) : fixes, aside: [] };
  }
  const aside = [...mean.aside, fix];
  return aside.length < Math.min(movedAfter, mean.fixes.length) ? { ...mean, aside } : { fixes: aside, aside: [] };
}

/** Whether the newest fixes lie farther from those before them than a fix is good for. */
function drawnAway(fixes: readonly RawFix[]): boolean {
  const before = meanOf({ fixes: fixes.slice(0, -nowFixes), aside: [] }), newest = meanOf({ fixes: fixes.slice(-nowFixes), aside: [] });
  return before !== null && newest !== null && metresBetween(before, newest) > fixes[fixes.length - 1]!.accuracyM;
}

/**
 * The mean, each fix weighing 1 / accuracy². Its accuracy is that of such a weighted fix,
 * √(n / Σ 1/accuracy²), or the scatter of the fixes where that is larger. It is not divided by √n: fixes a second
 * apart share most of their error, so that counting them proves nothing (common practice,
 * no source).
 */
export function meanOf({ fixes }: Mean): { lon: number; lat: number; accuracyM: number; heightM?: number } | null {
  const first = fixes[0];
  if (!first) return null;
  let weights = 0, east = 0, north = 0, heights = 0, heightWeights = 0;
  for (const fix of fixes) {
    const w = 1 / fix.accuracyM ** 2;
    const d = offset(first, fix);
    weights += w;
    east += w * d.east;
    north += w * d.north;
    if (fix.heightM !== undefined) {
      heights += w * fix.heightM;
      heightWeights += w;
    }
  }
  const at = moved(first, east / weights, north / weights);
  let square = 0;
  for (const fix of fixes) square += metresBetween(at, fix) ** 2 / fix.accuracyM ** 2;
  return {
    ...at,
    accuracyM: Math.max(Math.sqrt(fixes.length / weights), Math.sqrt(square / weights)),
    ...(heightWeights > 0 && { heightM: heights / heightWeights }),
  };
}
