// Written by go generate ./viewer/typing from the schemas of model/compute.

// cover: ground cover from plots or points, with 95 % limits, against a target for the end of the dry

import type { Caution } from "./shared.ts";

export interface Input {
  /** plots judged by eye or photograph; this or points */
  plots?: Plot[] | null;
  /** points read along a line, by steps or under a pin frame */
  points?: Points | null;
  /** [%] one standard deviation by which the observer judges all plots too high or low; not counted if not given */
  observerPlusMinusPct?: number | null;
  /** a published threshold: runoff small above 50 %, soil loss a tenth from 70 %, sediment least above 75 % */
  target?: "runoff-50" | "soil-loss-70" | "sediment-75" | null;
  /** [%] the local target, in place of target */
  targetPct?: number | null;
  /** day of the assessment, as in 2024-11-30 */
  date?: string | null;
  /** months of the dry where the land lies, to check the date */
  drySeason?: DrySeason | null;
}

export interface Plot {
  /** what the plot is called */
  name?: string | null;
  /** [%] ground covered by plants, litter, stone or crust */
  coverPct: number;
}

export interface Points {
  /** points on cover */
  hits: number;
  /** all points read */
  total: number;
}

export interface DrySeason {
  /** its first month, January is 1 */
  firstMonth: number;
  /** its last month, included; before the first for a season over the new year */
  lastMonth: number;
}

export interface Output {
  /** [%] share of the ground that is covered */
  coverPct: number;
  /** [%] one standard deviation; none when not known */
  plusMinusPct?: number;
  /** [%] lower 95 % limit */
  lowPct: number;
  /** [%] upper 95 % limit */
  highPct: number;
  /** whether the chosen or local target is met; none without one */
  meetsTarget?: "yes" | "no" | "cannot tell";
  /** the published thresholds, which differ, and the local one */
  targets: Target[];
  /** how the limits were found: Wilson's for points, Student's t for plots, none for one plot or plots all alike */
  limits: "Wilson" | "t" | "none";
  /** what to watch for */
  cautions: Caution[];
}

export interface Target {
  /** its name, or local */
  target: string;
  /** [%] the threshold */
  targetPct: number;
  /** yes when even the lower limit reaches it, no when even the upper one does not */
  meets: "yes" | "no" | "cannot tell";
  /** what the threshold stands for, and who says so */
  why: string;
}
