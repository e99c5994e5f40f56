// The mean of fixes taken where the officer stands now. It begins again when she moves, so
// that no screen saves a place that she has left.

import { metresBetween, offset, moved } from "../base/plane.ts";
import type { RawFix } from "./fix.ts";

/** What has been taken into the mean, newest last, and those that lie elsewhere. */
export interface Mean {
  readonly fixes: readonly RawFix[];
  readonly aside: readonly RawFix[];
  readonly recent: readonly RawFix[]; // the last ones, of whatever mean: they show whether she walks
  readonly stand: number; // one more at every place where the mean began
  readonly jumped: boolean; // it began here because the receiver corrected itself: nobody walks that fast
}

export const noMean: Mean = { fixes: [], aside: [], recent: [], stand: 0, jumped: false };

/** So many fixes in a row elsewhere mean that the officer has moved, not that one fix was bad; as many as there are in the mean do, too. */
const movedAfter = 3;
/** From this speed on the officer walks. A receiver at rest tells less; common practice, no source. */
const walkMps = 0.7;
/** So many of the newest fixes tell where she is now. */
const nowFixes = 3;
/** Nobody runs so fast over a paddock: a farther jump from one fix to the next is the receiver's. Common practice, no source. */
const runMps = 5;
/** Ten minutes at a fix a second; the oldest go. */
const mostFixes = 600;

// What shows a walk where the receiver tells no speed. The errors of fixes a second apart are
// nearly the same, so that four steps the same way are one long before they have left the
// accuracy of the first: common practice, no source.
const stepsOfAWalk = 4;
const leastStepM = 0.25; // of each, along the whole
const leastSpeedMps = 0.4; // of the whole: slower is drift

/**
 * Takes in a fix. While the officer walks, each fix is a mean of its own: the receiver tells
 * her speed, or the last fixes all lead the same way, or the newest draw away from those
 * before. One that lies farther off than both can doubt is put aside; when three in a row do,
 * or as many as the mean had, she has moved, and the mean starts again with them: a lone fix
 * of a moment ago is no better than the one that contradicts it.
 */
export function taken(mean: Mean, fix: RawFix): Mean {
  const recent = [...mean.recent, fix].slice(-(stepsOfAWalk + 1));
  const begun = (fixes: readonly RawFix[], jumped = false): Mean => ({ fixes, aside: [], recent, stand: mean.stand + 1, jumped });
  const now = meanOf(mean);
  if (!now || (fix.speedMps !== undefined && fix.speedMps >= walkMps) || walks(recent)) return begun([fix]);
  if (metresBetween(now, fix) <= 2 * (now.accuracyM + fix.accuracyM)) {
    const fixes = [...mean.fixes, fix].slice(-mostFixes);
    return drawnAway(fixes) ? begun(fixes.slice(-nowFixes)) : { ...mean, fixes, aside: [], recent };
  }
  const aside = [...mean.aside, fix];
  return aside.length < Math.min(movedAfter, mean.fixes.length) ? { ...mean, aside, recent } : begun(aside, outran(mean.fixes, aside));
}

/** Whether fixes lie farther from those before them than anybody gets in the time between, whatever either may be out. */
function outran(before: readonly RawFix[], since: readonly RawFix[]): boolean {
  const from = meanOf({ fixes: before })!,
    to = meanOf({ fixes: since })!;
  const s = Math.max(1, (since[0]!.atMS - before[before.length - 1]!.atMS) / 1000);
  return metresBetween(from, to) - from.accuracyM - to.accuracyM > runMps * s;
}

/** Whether the newest fixes lie farther from those before them than a fix is good for. */
function drawnAway(fixes: readonly RawFix[]): boolean {
  const before = meanOf({ fixes: fixes.slice(0, -nowFixes) }),
    newest = meanOf({ fixes: fixes.slice(-nowFixes) });
  return before !== null && newest !== null && metresBetween(before, newest) > fixes[fixes.length - 1]!.accuracyM;
}

/** Whether the last fixes all lead the same way, at a pace. */
function walks(recent: readonly RawFix[]): boolean {
  if (recent.length <= stepsOfAWalk) return false;
  const first = recent[0]!,
    last = recent[recent.length - 1]!;
  const whole = offset(first, last),
    lengthM = Math.hypot(whole.east, whole.north);
  if (lengthM < (leastSpeedMps * (last.atMS - first.atMS)) / 1000 || last.atMS <= first.atMS) return false;
  return recent.slice(1).every((fix, i) => {
    const step = offset(recent[i]!, fix);
    const along = (step.east * whole.east + step.north * whole.north) / lengthM,
      across = Math.abs(step.east * whole.north - step.north * whole.east) / lengthM;
    return along >= leastStepM && across <= along;
  });
}

/**
 * The mean, each fix weighing 1 / accuracy². Its accuracy is that of such a weighted fix,
 * √(n / Σ 1/accuracy²), or the scatter of the fixes where that is larger. It is not divided by √n: fixes a second
 * apart share most of their error, so that counting them proves nothing (common practice,
 * no source).
 */
export function meanOf({ fixes }: Pick<Mean, "fixes">): { lon: number; lat: number; accuracyM: number; heightM?: number } | null {
  const first = fixes[0];
  if (!first) return null;
  let weights = 0,
    east = 0,
    north = 0,
    heights = 0,
    heightWeights = 0;
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
