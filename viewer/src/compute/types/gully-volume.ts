// Written by go generate ./viewer/typing from the schemas of model/compute.

// gully-volume: earth gone from a gully, from cross-sections, by end areas or the prismoidal rule

import type { Caution, Item } from "./shared.ts";

export interface Input {
  /** cross-sections from the downstream end up */
  sections: Section[];
  /** end-area averages neighbours; prismoidal needs measured middles, or dimensions whose mean gives the middle */
  method: "end-area" | "prismoidal";
  /** what stands between a section and one of no area: pyramid, a third, if not given; or average, a half */
  zeroEnds?: "pyramid" | "average" | null;
  /** [m] how far the gully runs on below the first section until nothing is left of it; 0 if not given */
  downstreamRunOutM?: number | null;
  /** [m] how far it runs on above the last section; 0 if not given */
  upstreamRunOutM?: number | null;
  /** how the sections were measured; taped if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a distance across or a width; 0.05, a tape's, if not given; not known for GPS and unproven */
  acrossPlusMinusM?: number | null;
  /** [m] one standard deviation of a level or depth; 0.005 levelled and 0.05 taped if not given, else not known */
  heightPlusMinusM?: number | null;
  /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for GPS and unproven */
  chainagePlusMinusM?: number | null;
  /** adds the published error of this way of surveying: 4 % for the first two, 13 % for the others */
  surveyMethod?: "total-station" | "photographs" | "profile-meter" | "pole" | null;
  /** [%] your own error of the way of surveying, in place of surveyMethod: one standard deviation of the volume */
  methodErrorPct?: number | null;
  /** [t/m3] dry mass of the soil in place per volume; no default, since soils differ */
  bulkDensityTM3?: number | null;
  /** [t/m3] one standard deviation; not known if not given */
  bulkDensityPlusMinusTM3?: number | null;
}

export interface Section {
  /** [m] along the thalweg from the downstream end */
  chainageM: number;
  /** [m] distance across and level of each reading, along the ground from one brink to the other; depths below the brinks are negative */
  offsets?: [number, number][] | null;
  /** of a trapezoid, in place of offsets */
  dimensions?: Dimensions | null;
  /** [m2] below the line joining the brinks, in place of offsets; 0 where the gully runs out */
  areaM2?: number | null;
  /** [m2] one standard deviation of areaM2; not known if not given */
  areaPlusMinusM2?: number | null;
  /** measured half-way between its two neighbours for the prismoidal rule; end-area takes it as any other */
  middle?: boolean | null;
}

export interface Dimensions {
  /** [m] across the bed */
  bedWidthM: number;
  /** [m] from brink to brink */
  topWidthM: number;
  /** [m] from the line joining the brinks to the bed */
  depthM: number;
}

export interface Output {
  /** [m3] earth gone from below the lines joining the brinks */
  volumeM3: number;
  /** [m3] one standard deviation, readings and way of surveying together; none when not known */
  plusMinusM3?: number;
  /** [m3] from the readings alone; none when not known */
  readingPlusMinusM3?: number;
  /** [t] dry mass of that earth; none without a bulk density */
  erodedTonnes?: number;
  /** [t] one standard deviation; none when not known */
  erodedTonnesPlusMinusT?: number;
  /** [m2] area of each section */
  areasM2: number[];
  /** the parts of the volume, from the downstream end up */
  intervals: Interval[];
  /** [m3] by how much averaging end areas reads high if width and depth change together; 0 where it was not used */
  readsHighM3: number;
  /** the same as a list to be priced by the computation quantities */
  items: Item[];
  /** what the sections rest on */
  basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
  /** what to watch for */
  cautions: Caution[];
}

export interface Interval {
  /** [m] chainage of its downstream end */
  fromM: number;
  /** [m] chainage of its upstream end */
  toM: number;
  /** [m3] between the two */
  volumeM3: number;
  /** how it was taken */
  rule: "end-area" | "prismoidal" | "pyramid";
}
