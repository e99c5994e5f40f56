// Written by go generate ./viewer/typing from the schemas of model/compute.

// peak-flow: the peak of a design storm from a small catchment, by the rational method

import type { Caution, Duration } from "./shared.ts";

export interface Input {
  /** [har] of the catchment, on the map; or give parts */
  areaHa?: number | null;
  /** [har] one standard deviation; not known if not given */
  areaPlusMinusHa?: number | null;
  /** share of the rain's rate that runs off; or name a table */
  coefficient?: number | null;
  /** one standard deviation; of a table that gives a range, range/√12; not known otherwise */
  coefficientPlusMinus?: number | null;
  /** published table to take the coefficient from: land-by-slope-and-soil by Schwab and others, bare-and-grazed-ground by the California Clean Water Team; neither knows scalded or degraded ground */
  table?: "land-by-slope-and-soil" | "bare-and-grazed-ground" | null;
  /** row of the table; bare ground is in bare-and-grazed-ground alone, cultivated in land-by-slope-and-soil */
  cover?: "pasture" | "woodland" | "cultivated" | "bare smooth" | "bare rough" | null;
  /** column of the table: the first three of land-by-slope-and-soil, the last two of bare-and-grazed-ground */
  soil?: "open sandy loam" | "clay and silt loam" | "tight clay" | "heavy" | "sandy" | null;
  /** [%] of the land, for land-by-slope-and-soil */
  slopePct?: number | null;
  /** pieces of the catchment that shed differently, instead of areaHa and one coefficient */
  parts?: Part[] | null;
  /** the text whose limit applies; 25 km2, the widest, if not given */
  areaLimit?: "20 acres" | "12 km2" | "25 km2" | null;
  /** [mm/h] of the design storm over the time of concentration; or give durations */
  intensityMmH?: number | null;
  /** [%] one standard deviation of the table's intensities; not known if not given */
  intensityPlusMinusPct?: number | null;
  /** [min] duration to read durations at */
  timeOfConcentrationMin?: number | null;
  /** [min] one standard deviation; not known if not given */
  timeOfConcentrationPlusMinusMin?: number | null;
  /** rows of the place's table for one event, the shortest duration first */
  durations?: Duration[] | null;
  /** how to read between two durations; log-log if not given */
  between?: "log-log" | "straight intensity" | "straight depth" | null;
  /** what the table is for, as it says: 10 % AEP, 1 in 10 years */
  event?: string | null;
  /** when the table was issued: 2016, 2016-11 or 2016-11-30 */
  tableDate?: string | null;
}

export interface Part {
  /** [har] of this part, on the map */
  areaHa: number;
  /** [har] one standard deviation; not known if not given */
  areaPlusMinusHa?: number | null;
  /** share of the rain's rate that runs off; or name a table */
  coefficient?: number | null;
  /** one standard deviation; of a table that gives a range, range/√12; not known otherwise */
  coefficientPlusMinus?: number | null;
  /** published table to take the coefficient from: land-by-slope-and-soil by Schwab and others, bare-and-grazed-ground by the California Clean Water Team; neither knows scalded or degraded ground */
  table?: "land-by-slope-and-soil" | "bare-and-grazed-ground" | null;
  /** row of the table; bare ground is in bare-and-grazed-ground alone, cultivated in land-by-slope-and-soil */
  cover?: "pasture" | "woodland" | "cultivated" | "bare smooth" | "bare rough" | null;
  /** column of the table: the first three of land-by-slope-and-soil, the last two of bare-and-grazed-ground */
  soil?: "open sandy loam" | "clay and silt loam" | "tight clay" | "heavy" | "sandy" | null;
  /** [%] of the land, for land-by-slope-and-soil */
  slopePct?: number | null;
}

export interface Output {
  /** [m3/s] peak */
  flowM3S: number;
  /** [m3/s] one standard deviation, from the inputs alone; none when not known */
  flowPlusMinusM3S?: number;
  /** [mm/h] the intensity used */
  intensityMmH: number;
  /** [mm/h] one standard deviation; none when not known */
  intensityPlusMinusMmH?: number;
  /** [min] the duration it was read at */
  durationMin?: number;
  /** [har] of the whole catchment */
  areaHa: number;
  /** [har] one standard deviation; none when not known */
  areaPlusMinusHa?: number;
  /** the coefficient used, weighted by area */
  coefficient: number;
  /** one standard deviation; none when not known */
  coefficientPlusMinus?: number;
  /** the pieces, as used */
  parts: OutputPart[];
  /** what the other ways of reading between durations lead to */
  otherReadings: OtherReading[];
  /** as given */
  event?: string;
  /** as given */
  tableDate?: string;
  /** what to watch for */
  cautions: Caution[];
}

export interface OutputPart {
  /** [har] of this part */
  areaHa: number;
  /** the middle where the source gives a range */
  coefficient: number;
  /** one standard deviation; none when not known */
  coefficientPlusMinus?: number;
  /** the least the source gives */
  low: number;
  /** the most the source gives */
  high: number;
  /** whose coefficient it is */
  source: string;
}

export interface OtherReading {
  /** how it was read */
  between: string;
  /** [mm/h] read that way */
  intensityMmH: number;
  /** [m3/s] and the peak it gives */
  flowM3S: number;
}
