// Written by go generate ./viewer/typing from the schemas of model/compute.

// revegetation: whether grass, fencing and fertiliser are likely to stabilise a gully by themselves

import type { Caution } from "./shared.ts";

export interface Input {
  /** [m] depth of the gully */
  depthM: number;
  /** [m] one standard deviation; not known if not given */
  depthPlusMinusM?: number | null;
  /** run of the steepest walls per metre of height; 0 for vertical or undercut */
  wallRunPerRise?: number | null;
  /** one standard deviation; not known if not given */
  wallPlusMinus?: number | null;
  /** [m] fall at the head; 0 where there is none */
  headDepthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  headDepthPlusMinusM?: number | null;
  /** [har] land that drains to the gully */
  catchmentHa?: number | null;
  /** [har] one standard deviation; not known if not given */
  catchmentPlusMinusHa?: number | null;
  /** tunnels or pipes were seen; none if not given */
  tunnels?: boolean | null;
  /** a crumb of subsoil clouds in still water; not tested if not given, and then nothing is called likely */
  dispersive?: boolean | null;
  /** stock can be kept out; they can if not given */
  stockOut?: boolean | null;
  /** which belief decides; the stricter, common-practice, if not given. Both are given in the answer */
  screen?: "common-practice" | "judgement" | null;
}

export interface Output {
  /** grass, fencing and fertiliser are likely to stabilise it by themselves; false also where that cannot be decided */
  aloneIsLikely: boolean;
  /** by the screen that decides */
  verdict: "likely" | "not likely" | "too close to tell" | "not measured";
  /** the screen that decides */
  screen: string;
  /** its limits, held against what was measured */
  reasons: Reason[];
  /** what each screen says; they are never blended */
  screens: Screen[];
  /** what else to consider for the limits that are not met or not decided; treatment-choice says which of them fit */
  treatments: Treatment[];
  /** what was measured where grass was tried */
  evidence: Evidence[];
  /** what handbooks say of sowing */
  advice: Evidence[];
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Reason {
  /** the input it looks at */
  field: string;
  /** what has to hold */
  limit: string;
  /** in the field's own unit; none for a yes or no */
  threshold?: number;
  /** in the field's own unit; none for a yes or no, or when not measured */
  measured?: number;
  /** one standard deviation of it; none when not known */
  plusMinus?: number;
  /** whether the limit is met */
  verdict: "met" | "not met" | "too close to tell" | "not measured";
  /** where the threshold comes from */
  source: string;
}

export interface Screen {
  /** its name */
  screen: string;
  /** what it says */
  verdict: "likely" | "not likely" | "too close to tell" | "not measured";
  /** where it comes from */
  source: string;
}

export interface Treatment {
  /** its kind, as the register and quantities name it */
  treatment: string;
  /** what a check dam is built from, as rock-dam names it */
  builtFrom?: string;
  /** what it is */
  label: string;
  /** the fields that speak for it */
  because: string[];
}

export interface Evidence {
  /** what to know */
  text: string;
  /** who tells it */
  source: string;
}
