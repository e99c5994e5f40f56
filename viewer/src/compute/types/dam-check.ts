// Written by go generate ./viewer/typing from the schemas of model/compute.

// dam-check: whether each dam's crest is level with the toe of the next one upstream

import type { Bed, Caution } from "./shared.ts";

export interface Input {
  /** surveyed points of the bed from the downstream end up; needed for dams without a toe level */
  bed?: Bed[] | null;
  /** the dams, in any order */
  dams: Dam[];
  /** [m] step that still counts as level; 0.05 if not given */
  toleranceM?: number | null;
  /** [%] slope that silt settles at; 0, level, if not given */
  depositSlopePct?: number | null;
  /** [m] only where the bed was booked from its head down and is turned here: a chainage as booked is this less the one here */
  turnedAtM?: number | null;
  /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
  levelPlusMinusM?: number | null;
  /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
  chainagePlusMinusM?: number | null;
}

export interface Dam {
  /** what the dam is called; its place in the list if not given */
  name?: string | null;
  /** [m] of its toe, along the thalweg from the downstream end */
  chainageM: number;
  /** [m] level of its downstream foot; that of the bed there if not given */
  toeLevelM?: number | null;
  /** [m] level of the lowest point of its top */
  crestLevelM: number;
  /** [m] height of its toe below the silt of the dam downstream that was planned, as dam-layout gives it for a dam on a good site or below a head; 0 if not given */
  buriedM?: number | null;
  /** what its two levels come from, if not what the others do */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
}

export interface Output {
  /** neighbouring dams, from the lowest up */
  pairs: Pair[];
  /** the pair that does most harm: the highest fall over a gap or off a hump, which scours, before any drowned toe, which does not; none for fewer than two dams */
  worst?: Pair;
  /** [m] only where the bed was booked from its head down and is turned here: a chainage as booked is this less the one here */
  turnedAtM?: number;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Pair {
  /** the dam downstream */
  lower: string;
  /** the next dam upstream */
  upper: string;
  /** [m] horizontal, toe to toe */
  spacingM: number;
  /** [m] one standard deviation; none when not known */
  spacingPlusMinusM?: number;
  /** [m] level of the upper toe less that of the lower crest, less the deposit's rise between */
  stepM: number;
  /** [m] one standard deviation; none when not known */
  stepPlusMinusM?: number;
  /** level; gap where the upper toe is too high; hump where the surveyed bed between is above the lower dam's silt and the upper toe; drowned where the upper toe is too low, by more than its buriedM; not levelled where the levels do not come from a closed run */
  verdict: string;
  /** what the step rests on */
  basis: string;
  /** where the surveyed bed between the two rises above the lower dam's silt and the upper toe; none where it does not */
  hump?: Hump;
}

export interface Hump {
  /** [m] where */
  chainageM: number;
  /** [m] above the crest below and the deposit's rise to there */
  aboveM: number;
}
