// Written by go generate ./viewer/typing from the schemas of model/compute.

// treatment-choice: which treatments fit an eroding place, which are ruled out, and why

import type { Caution } from "./shared.ts";

export interface Input {
  /** the sort of place */
  what: "gully-head" | "gully" | "scald" | "bare-slope" | "bare-sharp-edge" | "tunnel" | "track" | "fence";
  /** [m] depth of the gully, or height of the edge */
  depthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  depthPlusMinusM?: number | null;
  /** [m] fall at the head */
  headDepthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  headDepthPlusMinusM?: number | null;
  /** run of the steepest walls per metre of height; 0 for vertical or undercut */
  wallRunPerRise?: number | null;
  /** one standard deviation; not known if not given */
  wallPlusMinus?: number | null;
  /** [m] width of the gully where works would stand */
  widthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  widthPlusMinusM?: number | null;
  /** [har] land that drains to the place */
  catchmentHa?: number | null;
  /** [har] one standard deviation; not known if not given */
  catchmentPlusMinusHa?: number | null;
  /** [%] slope of the gully's bed */
  bedSlopePct?: number | null;
  /** [%] one standard deviation; not known if not given */
  bedSlopePlusMinusPct?: number | null;
  /** [%] slope of the ground, the track or the fence line */
  slopePct?: number | null;
  /** [%] one standard deviation; not known if not given */
  slopePlusMinusPct?: number | null;
  /** [m] sloping length of the track or fence line */
  lengthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  lengthPlusMinusM?: number | null;
  /** [%] ground cover at the end of the dry season */
  coverPct?: number | null;
  /** [%] one standard deviation; not known if not given */
  coverPlusMinusPct?: number | null;
  /** still cutting back */
  active?: boolean | null;
  /** tunnels or pipes were seen */
  tunnels?: boolean | null;
  /** a crumb of subsoil clouds in still water */
  dispersive?: boolean | null;
  /** stock can be kept out */
  stockOut?: boolean | null;
  /** there is ground that can carry turned water: grassed, rocky, not steep */
  stableOutlet?: boolean | null;
  /** that ground is on the same property */
  outletOnOwnLand?: boolean | null;
  /** hard angular rock lies near */
  rockAtHand?: boolean | null;
  /** fallen or pushed timber or brush lies near */
  timberAtHand?: boolean | null;
  /** a tractor or excavator can get there */
  machineAccess?: boolean | null;
  /** a dumpy or laser level can be had */
  levelAtHand?: boolean | null;
  /** water runs in ruts or along the line */
  rutted?: boolean | null;
  /** the track or fence lies on the contour */
  onContour?: boolean | null;
  /** the track carries a spring, seep or stream */
  springs?: boolean | null;
  /** water off a track or fence line runs into the gully */
  trackWater?: boolean | null;
  /** a humid region, by the local handbook */
  humid?: boolean | null;
}

export interface Output {
  /** what fits, in order: by the trade's step, within a step by the number of needs not met, then by the table's own order */
  fits: Fit[];
  /** what cannot be decided before something is measured, or measured better */
  notDecided: NotDecided[];
  /** what does not fit, and why */
  ruledOut: RuledOut[];
  /** what is not thought of for such a place */
  notFor: string[];
  /** class of the gully, where depth and catchment are known */
  size?: Size;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Fit {
  /** from 1 */
  rank: number;
  /** its kind, as the register and quantities name it */
  treatment: string;
  /** what a check dam is built from, as rock-dam names it */
  builtFrom?: string;
  /** what it is */
  label: string;
  /** of the trade's order */
  step: "prevention" | "water" | "grass" | "earth" | "structures" | "advice";
  /** why it fits */
  reasons: Reason[];
  /** what is not met yet */
  needs: Reason[];
  /** what would tell whether more is needed */
  findOut: FindOut[];
  /** the work in it */
  labour: string;
  /** what it takes */
  material: string;
}

export interface Reason {
  /** its id in the table */
  rule: string;
  /** what is true here */
  when: string;
  /** what follows */
  why: string;
  /** where it comes from */
  source: string;
}

export interface FindOut {
  /** the input */
  field: string;
  /** not measured, or too close to tell */
  text: string;
  /** ids of the rules it would settle */
  rules: string[];
}

export interface NotDecided {
  /** its kind, as the register and quantities name it */
  treatment: string;
  /** what a check dam is built from, as rock-dam names it */
  builtFrom?: string;
  /** what it is */
  label: string;
  /** what speaks for it so far */
  reasons: Reason[];
  /** needed to decide */
  lacks: FindOut[];
}

export interface RuledOut {
  /** its kind, as the register and quantities name it */
  treatment: string;
  /** what a check dam is built from, as rock-dam names it */
  builtFrom?: string;
  /** what it is */
  label: string;
  /** the rules against it; none where no rule for it is met */
  reasons: Reason[];
  /** where no rule is against it: the rules for it, none of which is met */
  notSo: Reason[];
}

export interface Size {
  /** by depth: 1 and 5 m */
  byDepth: "small" | "medium" | "large";
  /** by catchment: 2 and 20 ha; the guide does not say which applies where they differ */
  byCatchment: "small" | "medium" | "large";
  /** where the classes come from */
  source: string;
}
