// Written by go generate ./viewer/typing from the schemas of model/compute.

// channel-flow: the flow that left a flood mark in a plain channel, or how deep and fast a flow runs

import type { Caution } from "./shared.ts";

export interface Input {
  /** [m] of the level bottom; 0 where the sides meet */
  bedWidthM: number;
  /** [m] one standard deviation; not known if not given */
  bedWidthPlusMinusM?: number | null;
  /** lean of both sides; 0 is upright */
  sideRunPerRise: number;
  /** [%] of the water's surface along the reach, or of the bed */
  slopePct: number;
  /** [%] one standard deviation; not known if not given */
  slopePlusMinusPct?: number | null;
  /** named roughness; or give manningN */
  lining?: "straight earth" | "clean straight stream" | "short grass" | "high grass" | "light brush" | null;
  /** Manning's roughness */
  manningN?: number | null;
  /** one standard deviation; of a named one with a range, range/√12; not known otherwise */
  manningNPlusMinus?: number | null;
  /** [m] of the water, or of a flood mark above the bed; give this or flowM3S, and the other is calculated */
  depthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  depthPlusMinusM?: number | null;
  /** [m3/s] the flow */
  flowM3S?: number | null;
  /** [m3/s] one standard deviation; not known if not given */
  flowPlusMinusM3S?: number | null;
}

export interface Output {
  /** [m] of the water */
  depthM: number;
  /** [m] one standard deviation; none when not known */
  depthPlusMinusM?: number;
  /** [m3/s] the flow */
  flowM3S: number;
  /** [m3/s] one standard deviation; none when not known */
  flowPlusMinusM3S?: number;
  /** [m/s] mean */
  velocityMS: number;
  /** [m2] of the water across the channel */
  areaM2: number;
  /** [m] wetted perimeter */
  wettedM: number;
  /** [m] area over wetted perimeter */
  hydraulicRadiusM: number;
  /** [m] of the surface */
  waterWidthM: number;
  /** the roughness used */
  manningN: number;
  /** whose it is */
  roughnessSource: string;
  /** what to watch for */
  cautions: Caution[];
}
