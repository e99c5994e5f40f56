// Written by go generate ./viewer/typing from the schemas of model/compute.

// retreat: how far a gully head cut back between visits, how fast, and whether that is more than noise

import type { Caution } from "./shared.ts";

export interface Input {
  /** at least two, in any order, each on a day of its own */
  visits: Visit[];
  /** where the stake of the offsets stands; upstream of the head, so that they shrink as it retreats, if not given */
  stake?: "upstream" | "downstream" | null;
  /** [deg] up the gully, clockwise from true north, for positions; this or thalweg */
  bearingDeg?: number | null;
  /** [deg] the bed's line from the downstream end up, past the head, for positions: retreat is then along it */
  thalweg?: [number, number][] | null;
  /** months of the wet, to count the seasons between visits */
  wetSeason?: WetSeason | null;
}

export interface Visit {
  /** day of the visit, as in 2024-11-30 */
  date: string;
  /** [deg] longitude and latitude of the head's lip, WGS84; this or offsetM, alike for all visits */
  position?: [number, number] | null;
  /** [m] taped from the stake to the lip */
  offsetM?: number | null;
  /** [m] one standard deviation along any direction; 0.05, a tape's, for offsets; not known for positions */
  accuracyM?: number | null;
  /** how it came about; GPS for a position, taped for an offset, if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
}

export interface WetSeason {
  /** its first month, January is 1 */
  firstMonth: number;
  /** its last month, included; before the first for a season over the new year */
  lastMonth: number;
}

export interface Output {
  /** day of the earlier visit */
  from: string;
  /** day of the later visit */
  to: string;
  /** [a] between them, by the calendar: an anniversary is a whole number of years */
  years: number;
  /** [m] up the gully; negative is down it */
  retreatM: number;
  /** [m] one standard deviation; none when not known */
  plusMinusM?: number;
  /** [m/a] retreat over years */
  rateMPerYear: number;
  /** [m/a] one standard deviation; none when not known */
  ratePlusMinusMPerYear?: number;
  /** wet seasons between, a started one by its part */
  wetSeasons?: number;
  /** [m] retreat for each wet season; none where less than half of one lies between */
  retreatMPerSeason?: number;
  /** [m] the least retreat that these measurements could tell from none, at 95 %; none when not known */
  leastProvableM?: number;
  /** whether the retreat is more than the measurements' own scatter, at 95 % */
  moreThanNoise: "yes" | "no" | "cannot tell";
  /** from each visit to the next, by date */
  steps: Step[];
  /** the line through three visits or more; none for positions without a direction */
  trend?: Trend;
  /** what the retreat rests on: the weakest of the visits' */
  basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
  /** what to watch for */
  cautions: Caution[];
}

export interface Step {
  /** day of the earlier visit */
  from: string;
  /** day of the later visit */
  to: string;
  /** [a] between them, by the calendar: an anniversary is a whole number of years */
  years: number;
  /** [m] up the gully; negative is down it */
  retreatM: number;
  /** [m] one standard deviation; none when not known */
  plusMinusM?: number;
  /** [m/a] retreat over years */
  rateMPerYear: number;
  /** [m/a] one standard deviation; none when not known */
  ratePlusMinusMPerYear?: number;
  /** wet seasons between, a started one by its part */
  wetSeasons?: number;
  /** [m] retreat for each wet season; none where less than half of one lies between */
  retreatMPerSeason?: number;
  /** [m] the least retreat that these measurements could tell from none, at 95 %; none when not known */
  leastProvableM?: number;
  /** whether the retreat is more than the measurements' own scatter, at 95 % */
  moreThanNoise: "yes" | "no" | "cannot tell";
}

export interface Trend {
  /** [m/a] of the straight line through all visits, by least squares */
  rateMPerYear: number;
  /** [m/a] one standard deviation from the accuracies; none when not known */
  plusMinusMPerYear?: number;
  /** [m/a] standard error from how far the visits lie off the line: large where the head moves by fits and starts */
  scatterMPerYear: number;
  /** whether the rate is more than noise at 95 %: by the accuracies, or where they are not known by the scatter */
  moreThanNoise: "yes" | "no" | "cannot tell";
}
