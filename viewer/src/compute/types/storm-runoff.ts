// Written by go generate ./viewer/typing from the schemas of model/compute.

// storm-runoff: how much of a storm runs off pasture in each condition of its cover, by curve number

import type { Caution } from "./shared.ts";

export interface Input {
  /** [mm] depth of the storm */
  rainMm: number;
  /** [mm] one standard deviation; not known if not given */
  rainPlusMinusMm?: number | null;
  /** a curve number of the officer's own; or give soilGroup with coverPct or condition */
  curveNumber?: number | null;
  /** one standard deviation; not known if not given */
  curveNumberPlusMinus?: number | null;
  /** hydrologic soil group, from A that drains freely to D that seals or swells */
  soilGroup?: "A" | "B" | "C" | "D" | null;
  /** [%] ground cover of pasture: under 50 is poor, over 75 good */
  coverPct?: number | null;
  /** instead of coverPct; heavily grazed pasture is poor at any cover */
  condition?: "poor" | "fair" | "good" | "dirt road" | null;
  /** [har] of the land, for the volume */
  areaHa?: number | null;
}

export interface Output {
  /** [mm] depth that runs off */
  runoffMm: number;
  /** [mm] one standard deviation; none when not known */
  runoffPlusMinusMm?: number;
  /** [m3] over areaHa */
  volumeM3?: number;
  /** [mm] the most that the ground retains once rain runs off */
  retentionMm: number;
  /** the curve number used */
  curveNumber: number;
  /** the condition it belongs to */
  condition?: string;
  /** the same storm on the same soil in each condition */
  byCondition: ByCondition[];
  /** what to watch for */
  cautions: Caution[];
}

export interface ByCondition {
  /** of pasture, or a dirt road */
  condition: string;
  /** its curve number */
  curveNumber: number;
  /** [mm] what runs off it */
  runoffMm: number;
}
