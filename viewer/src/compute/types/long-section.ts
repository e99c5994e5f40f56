// Written by go generate ./viewer/typing from the schemas of model/compute.

// long-section: length, fall and slopes of a surveyed gully bed, reach by reach

import type { Bed, Caution, OutputBed } from "./shared.ts";

export interface Input {
  /** surveyed points of the bed from the downstream end up, at least two */
  bed: Bed[];
  /** whose rows to take of a level run that has those of several features */
  feature?: string | null;
  /** [m] only where the bed was booked from its head down and is turned here: a chainage as booked is this less the one here */
  turnedAtM?: number | null;
  /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
  levelPlusMinusM?: number | null;
  /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
  chainagePlusMinusM?: number | null;
}

export interface Output {
  /** [m] from the first point to the last, horizontal */
  lengthM: number;
  /** [m] one standard deviation; none when not known */
  lengthPlusMinusM?: number;
  /** [m] level of the upstream end less that of the downstream end */
  fallM: number;
  /** [m] one standard deviation; none when not known */
  fallPlusMinusM?: number;
  /** [%] fall over length */
  meanSlopePct: number;
  /** [%] one standard deviation; none when not known */
  meanSlopePlusMinusPct?: number;
  /** the points of the bed, from the downstream end up */
  bed: OutputBed[];
  /** [m] only where the bed was booked from its head down and is turned here: a chainage as booked is this less the one here */
  turnedAtM?: number;
  /** what the levels come from */
  basis: string;
  /** [m] one standard deviation of a level; none when not known */
  levelPlusMinusM?: number;
  /** [m] one standard deviation of a chainage; none when not known */
  chainagePlusMinusM?: number;
  /** the bed between neighbouring points */
  reaches: Reach[];
  /** the reaches that fall going upstream */
  adverse: Reach[];
  /** what to watch for */
  cautions: Caution[];
}

export interface Reach {
  /** [m] chainage of its downstream end */
  fromM: number;
  /** [m] chainage of its upstream end */
  toM: number;
  /** [%] rise going upstream over horizontal length; negative where the bed falls upstream */
  slopePct: number;
}
