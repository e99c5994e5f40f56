// Written by go generate ./viewer/typing from the schemas of model/compute.

// windrow-gaps: what lies straight down the fall below each gap of timber windrows

import type { Caution } from "./shared.ts";

export interface Input {
  /** the windrows of one slope, in any order; from the top one down if fallBearingDeg is not given */
  rows: Row[];
  /** [deg] bearing in which water runs straight down, clockwise from true north; square to the rows if not given */
  fallBearingDeg?: number | null;
  /** [deg] one standard deviation of that bearing; taken as right if not given */
  fallBearingPlusMinusDeg?: number | null;
  /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
  accuracyM?: number | null;
  /** [m] one standard deviation of a gap's chainage; taken as right if not given */
  chainagePlusMinusM?: number | null;
}

export interface Row {
  /** what the row is called; its number if not given */
  name?: string | null;
  /** [deg] longitude and latitude along the row, WGS84 */
  line: [number, number][];
  /** the openings left in it, in order along it; none is an empty list */
  gaps: Gap[];
}

export interface Gap {
  /** [m] where it begins, along the row from its first position */
  fromM: number;
  /** [m] where it ends */
  toM: number;
}

export interface Output {
  /** each gap with what lies straight below it */
  pairs: Pair[];
  /** whether any gap lies above a gap */
  verdict: "staggered" | "lined up" | "too close to tell" | "nothing below";
  /** [deg] the bearing used */
  fallBearingDeg: number;
  /** where it comes from */
  fallFrom: "given" | "rows";
  /** what the figures come from */
  basis: string;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Pair {
  /** number of the row of the gap, counted from 1 */
  row: number;
  /** its name */
  rowName?: string;
  /** number of the gap in it, counted from 1 */
  gap: number;
  /** number of the row straight down the fall; none where no row lies below */
  belowRow?: number;
  /** its name */
  belowRowName?: string;
  /** the gap of that row that it meets, or the nearest */
  belowGap?: number;
  /** what lies straight below */
  meets: "timber" | "gap" | "too close to tell" | "open ground";
  /** [m] width across the fall over which gap stands above gap, or above open ground; minus is how far they are apart; none when the row below has no gap */
  overlapM?: number;
  /** [m] one standard deviation of overlapM; none without an accuracy */
  plusMinusM?: number;
  /** [m] how far one gap must move across the fall to stand clear of the other; minus is the room there is */
  shiftM?: number;
  /** [m] one standard deviation of shiftM; within it nobody can tell */
  shiftPlusMinusM?: number;
  /** [m] straight down the fall to the row below, where it is nearest */
  downM?: number;
  /** [m] one standard deviation of downM; none without an accuracy */
  downPlusMinusM?: number;
}
