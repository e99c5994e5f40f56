// Written by go generate ./viewer/typing from the schemas of model/compute.

// sediment: silt caught behind check dams, how far each has filled, and what it weighs

import type { Caution } from "./shared.ts";

export interface Input {
  /** the dams, in any order */
  dams: Dam[];
  /** [m] one standard deviation of a height or depth; 0.05, a tape's, if not given */
  heightPlusMinusM?: number | null;
  /** [m] one standard deviation of a width or a distance; 0.05, a tape's, if not given */
  widthPlusMinusM?: number | null;
  /** [t/m3] dry mass of the soil in place per volume; no default, since soils differ */
  bulkDensityTM3?: number | null;
  /** [t/m3] one standard deviation; not known if not given */
  bulkDensityPlusMinusTM3?: number | null;
}

export interface Dam {
  /** what the dam is called; its place in the list if not given */
  name?: string | null;
  /** [m] of the notch over the old bed at the dam */
  crestHeightM: number;
  /** [m] across the old bed; 0 for a gully like a V */
  bedWidthM: number;
  /** [m] of the gully, bank to bank, at the level of the crest */
  widthAtCrestM: number;
  /** [%] of the old bed upstream of the dam */
  bedSlopePct: number;
  /** [%] one standard deviation of that slope; not known if not given, and then neither is that of a wedge */
  bedSlopePlusMinusPct?: number | null;
  /** [%] slope of the silt's surface; 0, level, if not given */
  depositSlopePct?: number | null;
  /** [m] of the silt over the old bed, at the dam; this or probes */
  siltHeightM?: number | null;
  /** depths of the silt from the dam upstream, the first at the dam */
  probes?: Probe[] | null;
}

export interface Probe {
  /** [m] upstream of the dam */
  distanceM: number;
  /** [m] from the silt's surface to the old bed; 0 where there is none */
  depthM: number;
}

export interface Output {
  /** [m3] behind all the dams */
  caughtM3: number;
  /** [m3] one standard deviation; none when not known */
  plusMinusM3?: number;
  /** [t] dry mass; none without a bulk density */
  caughtTonnes?: number;
  /** [t] one standard deviation; none when not known */
  caughtTonnesPlusMinusT?: number;
  /** [m3] of all the wedges to their crests */
  capacityM3: number;
  /** [%] caught over capacity */
  filledPct: number;
  /** dams that have done their job */
  filledDams: number;
  /** each dam, as they were given */
  dams: OutputDam[];
  /** what the volumes rest on */
  basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
  /** what to watch for */
  cautions: Caution[];
}

export interface OutputDam {
  /** the dam */
  name: string;
  /** [m3] silt behind it: through the probes, or the even wedge to its height */
  caughtM3: number;
  /** [m3] one standard deviation; none when not known */
  caughtPlusMinusM3?: number;
  /** [t] dry mass; none without a bulk density */
  caughtTonnes?: number;
  /** [m3] of the wedge to the crest */
  capacityM3: number;
  /** [m3] one standard deviation; none when not known */
  capacityPlusMinusM3?: number;
  /** [%] caught over capacity; above 100 where silt lies steeper than reckoned */
  filledPct: number;
  /** [m3] the even wedge to the silt's height at the dam, to compare with what was probed */
  wedgeM3: number;
  /** [m] of the silt at the dam */
  siltHeightM: number;
  /** [m] how far upstream the silt reaches */
  reachM: number;
  /** filled, to within 0.05 m of its crest, has done its job */
  state: "empty" | "filling" | "filled";
}
