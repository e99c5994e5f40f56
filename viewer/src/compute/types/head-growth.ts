// Written by go generate ./viewer/typing from the schemas of model/compute.

// head-growth: how much the outline of a gully head gained in area between days, and whether that is more than noise

import type { Caution } from "./shared.ts";

export interface Input {
  /** the head's edge, on two days or more, in any order */
  outlines: Outline[];
}

export interface Outline {
  /** day it was walked, as in 2024-11-30 */
  date: string;
  /** [deg] closed ring of longitude and latitude round the head's edge, WGS84, across the gully always between the same two marks */
  ring: [number, number][];
  /** [m] one standard deviation of a position along any direction; not known if not given */
  accuracyM?: number | null;
  /** how its positions came about; GPS if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
}

export interface Output {
  /** day of the earlier outline */
  from: string;
  /** day of the later outline */
  to: string;
  /** [m2] area of the earlier outline */
  fromM2: number;
  /** [m2] area of the later outline */
  toM2: number;
  /** [m2] what it gained */
  growthM2: number;
  /** [m2] one standard deviation; none when not known */
  plusMinusM2?: number;
  /** [m2/a] growth over the years between */
  rateM2PerYear: number;
  /** [m2/a] one standard deviation; none when not known */
  ratePlusMinusM2PerYear?: number;
  /** [m2] smaller growth than this is too small to detect, at 95 %; absent when not known */
  leastProvableM2?: number;
  /** whether the growth is more than noise, at 95 % */
  moreThanNoise: "yes" | "no" | "cannot tell";
  /** from each outline to the next, by date */
  steps: Step[];
  /** what the areas rest on: the weakest of the outlines' */
  basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
  /** what to watch for */
  cautions: Caution[];
}

export interface Step {
  /** day of the earlier outline */
  from: string;
  /** day of the later outline */
  to: string;
  /** [m2] area of the earlier outline */
  fromM2: number;
  /** [m2] area of the later outline */
  toM2: number;
  /** [m2] what it gained */
  growthM2: number;
  /** [m2] one standard deviation; none when not known */
  plusMinusM2?: number;
  /** [m2/a] growth over the years between */
  rateM2PerYear: number;
  /** [m2/a] one standard deviation; none when not known */
  ratePlusMinusM2PerYear?: number;
  /** [m2] smaller growth than this is too small to detect, at 95 %; absent when not known */
  leastProvableM2?: number;
  /** whether the growth is more than noise, at 95 % */
  moreThanNoise: "yes" | "no" | "cannot tell";
}
