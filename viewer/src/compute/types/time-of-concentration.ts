// Written by go generate ./viewer/typing from the schemas of model/compute.

// time-of-concentration: time of concentration of a catchment, by five formulas side by side

import type { Caution, Duration } from "./shared.ts";

export interface Input {
  /** the formula */
  method: "kirpich" | "bransby-williams" | "pilgrim-mcdermott" | "friend" | "kinematic";
  /** [m] longest path of the water; all but pilgrim-mcdermott need it */
  lengthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  lengthPlusMinusM?: number | null;
  /** [%] of that path, by equal areas for bransby-williams; all but pilgrim-mcdermott need it */
  slopePct?: number | null;
  /** [%] one standard deviation; not known if not given */
  slopePlusMinusPct?: number | null;
  /** [har] of the catchment, for bransby-williams and pilgrim-mcdermott */
  areaHa?: number | null;
  /** [har] one standard deviation; not known if not given */
  areaPlusMinusHa?: number | null;
  /** constant of bransby-williams in km, km2 and m/km: one of the two roundings in use, or the form of 1922 converted; 58 if not given */
  bransbyConstant?: "58" | "58.5" | "1922" | null;
  /** of the ground, for friend; or give hortonN */
  surface?: "bare" | "poor grass" | "average grass" | "dense grass" | null;
  /** Horton's roughness, for friend; not Manning's */
  hortonN?: number | null;
  /** one standard deviation; not known if not given */
  hortonNPlusMinus?: number | null;
  /** Manning's roughness of the ground under sheet flow, for kinematic */
  manningN?: number | null;
  /** one standard deviation; not known if not given */
  manningNPlusMinus?: number | null;
  /** rows of the place's table for one event, the shortest duration first */
  durations?: Duration[] | null;
  /** how to read between two durations; log-log if not given */
  between?: "log-log" | "straight intensity" | "straight depth" | null;
  /** what the table is for, as it says: 10 % AEP, 1 in 10 years */
  event?: string | null;
  /** when the table was issued: 2016, 2016-11 or 2016-11-30 */
  tableDate?: string | null;
}

export interface Output {
  /** [min] time of concentration */
  minutes: number;
  /** [min] one standard deviation from what was measured, the formula's own error not counted; none when not known */
  plusMinusMin?: number;
  /** the formula used */
  method: string;
  /** the country and the flow it was made for */
  madeFor: string;
  /** where it comes from */
  source: string;
  /** [mm/h] the rain the kinematic wave settled on */
  intensityMmH?: number;
  /** [har] as given */
  areaHa?: number;
  /** [har] as given */
  areaPlusMinusHa?: number;
  /** rows of the place's table for one event, the shortest duration first */
  durations?: Duration[];
  /** how to read between two durations; log-log if not given */
  between?: "log-log" | "straight intensity" | "straight depth";
  /** what the table is for, as it says: 10 % AEP, 1 in 10 years */
  event?: string;
  /** when the table was issued: 2016, 2016-11 or 2016-11-30 */
  tableDate?: string;
  /** by each other method that the inputs allow */
  others: Other[];
  /** [min] of all that could be calculated */
  shortestMin: number;
  /** [min] of all that could be calculated */
  longestMin: number;
  /** the methods that these inputs do not allow */
  notWorkedOut: NotWorkedOut[];
  /** what to watch for */
  cautions: Caution[];
}

export interface Other {
  /** the formula */
  method: string;
  /** [min] by it */
  minutes: number;
  /** [min] one standard deviation from what was measured; none when not known */
  plusMinusMin?: number;
  /** the country and the flow it was made for */
  madeFor: string;
  /** where it comes from */
  source: string;
}

export interface NotWorkedOut {
  /** the formula */
  method: string;
  /** what is missing or out of its range */
  field: string;
  /** why */
  reason: string;
}
