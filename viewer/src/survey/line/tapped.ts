// How good a position is that was tapped on the map. Pure.

import { numberOf, type Feature } from "../../base/entry.ts";
import type { Fix } from "../../sensor/fix.ts";
import type { Place } from "../../base/plane.ts";
import { nearestTo } from "../../base/nearest.ts";

const tapPx = 8; // how well a fingertip is aimed; common practice, no source
const leastM = 0.5;
const sightPx = 200; // what is drawn farther off is nothing to aim by

/**
 * One standard deviation of a tapped position: the aim of a fingertip at the scale of the
 * map, and how good the place is of what was drawn nearby to aim by, the nearest item or the
 * mark of where the phone stands. The two err apart, so their squares add (JCGM 100:2008, 5.1.2).
 */
export function drawnPlusMinusM(at: Place, metresPerPx: number, features: readonly Feature[], fix: Fix | null): number {
  const near = nearestTo(features, at);
  const beside = near && near.awayM <= sightPx * metresPerPx ? numberOf(near.feature, "accuracyM") : undefined;
  return Math.hypot(Math.max(leastM, tapPx * metresPerPx), beside ?? fix?.accuracyM ?? 0);
}
