// Written by go generate ./viewer/typing from the schemas of model/compute.

// notch: how deep the peak flow stands in a dam's notch, and how high its ends must be

import type { Caution } from "./shared.ts";

export interface Input {
  /** [m3/s] peak flow; give two of flowM3S, headM and crestLengthM, and the third is calculated */
  flowM3S?: number | null;
  /** [m3/s] one standard deviation; not known if not given */
  flowPlusMinusM3S?: number | null;
  /** [m] depth of the water above the bottom of the notch, a little upstream */
  headM?: number | null;
  /** [m] one standard deviation; not known if not given */
  headPlusMinusM?: number | null;
  /** [m] length of the notch's level bottom */
  crestLengthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  crestLengthPlusMinusM?: number | null;
  /** lean of the notch's sides, outwards; 0, upright, if not given */
  sideRunPerRise?: number | null;
  /** named discharge coefficient; loose rock, the lower, if not given */
  weir?: "loose rock" | "broad crest" | null;
  /** [m0.5/s] discharge coefficient in metres instead of a named one */
  coefficient?: number | null;
  /** [m0.5/s] one standard deviation; of a named coefficient 0.016, of another not known if not given */
  coefficientPlusMinus?: number | null;
  /** [m] from the water up to the dam's ends; 0.15 if not given */
  freeboardM?: number | null;
  /** [m] width of the gully's bottom at the dam */
  gullyBottomM?: number | null;
  /** [m] how far the lower end of a standing dam rises above the bottom of its notch: it is then checked */
  endsAboveCrestM?: number | null;
}

export interface Output {
  /** [m] of the water above the bottom of the notch */
  headM: number;
  /** [m] one standard deviation; none when not known */
  headPlusMinusM?: number;
  /** [m3/s] over the notch */
  flowM3S: number;
  /** [m3/s] one standard deviation; none when not known */
  flowPlusMinusM3S?: number;
  /** [m] of the notch's level bottom */
  crestLengthM: number;
  /** [m] one standard deviation; none when not known */
  crestLengthPlusMinusM?: number;
  /** [m] of the dam's ends above the bottom of the notch: head and freeboard */
  abutmentHeightM: number;
  /** [m] one standard deviation; none when not known */
  abutmentPlusMinusM?: number;
  /** [m] the freeboard used */
  freeboardM: number;
  /** [m] of the water's surface at the head */
  waterWidthM: number;
  /** [m] of the notch at the height of the ends */
  notchWidthM: number;
  /** [m] of the water on the crest, from the head: two thirds of it between upright sides; the weir's losses lower the flow, not this depth */
  criticalDepthM: number;
  /** [m/s] mean, on the crest: the flow over the area of water at criticalDepthM */
  velocityMS: number;
  /** [m2/s] flow over the mean width of the water on the crest */
  flowPerMetreM2S: number;
  /** [m0.5/s] the discharge coefficient used */
  coefficient: number;
  /** whose it is */
  coefficientSource: string;
  /** whether the standing ends are high enough, if endsAboveCrestM was given */
  endsHold?: boolean;
  /** [m] how much they lack */
  endsLackM?: number;
  /** what to watch for on the ground */
  cautions: Caution[];
}
