// Written by go generate ./viewer/typing from the schemas of model/compute.

// contour-check: whether pegs stand on one contour, which is worst, and where water would go

import type { Caution } from "./shared.ts";

export interface Input {
  /** the pegs, in order along the line */
  pegs: Peg[];
  /** [m] how far a peg may be off the mean level, up or down; at most 1 */
  toleranceM: number;
  /** [%] how steep the line may run between neighbours, either way; not checked if not given */
  gradeTolerancePct?: number | null;
  /** how the levels came about; levelled if not given, and nothing else can pass */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a peg's level; that of one set-up, 0.0028, if levelled and not given */
  levelPlusMinusM?: number | null;
  /** [m] height of the bank or furrow lip above the ground at the pegs; from 0.01 to 1. With it, the water held is calculated */
  lipM?: number | null;
  /** [m] one standard deviation of lipM, alike all along; taken as right if not given */
  lipPlusMinusM?: number | null;
  /** whether water may leave at both ends; if not given they are turned up or left unripped */
  openEnds?: boolean | null;
}

export interface Peg {
  /** what to call the peg; its number if not given */
  name?: string | null;
  /** [m] along the line */
  chainageM: number;
  /** [m] level of the ground at the peg */
  levelM: number;
}

export interface Output {
  /** [m] mean of the pegs' levels, each counted once */
  meanLevelM: number;
  /** [m] of the mean level; none when not known */
  plusMinusM?: number;
  /** the peg farthest off the mean */
  worst: Worst;
  /** [m] each peg above the mean; minus is below */
  offsM: number[];
  /** [%] from each peg to the next; plus climbs along the line */
  gradesPct: number[];
  /** [%] of each grade; the whole list is left out when one of them is not known */
  gradesPlusMinusPct?: number[];
  /** pegs with higher ground on both sides, where water ponds and breaks over */
  lowPoints: LowPoint[];
  /** where water along the line goes */
  drainsTo: "nowhere" | "first peg" | "last peg" | "both ends" | "low points";
  /** OK, fails, or not levelled: these levels cannot decide it */
  verdict: "OK" | "fails" | "not levelled";
  /** how the levels came about */
  basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
  /** why it fails, with the way to move each peg */
  reasons: string[];
  /** where the line stands off the contour by more than the tolerance */
  reaches: Reach[];
  /** how much of the line ponds water behind its lip; none without lipM */
  holding?: Holding;
  /** what to watch for */
  cautions: Caution[];
}

export interface Worst {
  /** number of the peg, counted from 1 */
  peg: number;
  /** its name */
  name?: string;
  /** [m] above the mean; minus is below */
  offM: number;
  /** [m] of offM; none when not known */
  plusMinusM?: number;
}

export interface LowPoint {
  /** number of the peg, counted from 1; the first of several at one level */
  peg: number;
  /** its name */
  name?: string;
  /** [m] along the line */
  chainageM: number;
  /** [m] level there */
  levelM: number;
  /** [m] how deep water stands before it breaks over along the line */
  depthM: number;
}

export interface Reach {
  /** [m] chainage where it leaves the tolerance */
  fromM: number;
  /** [m] one standard deviation of fromM; none when nobody knows how good the levels are */
  fromPlusMinusM?: number;
  /** [m] chainage where it comes back */
  toM: number;
  /** [m] one standard deviation of toM; none when not known */
  toPlusMinusM?: number;
  /** [m] the farthest off the mean; minus is below */
  offM: number;
  /** [m] one standard deviation of offM; none when not known */
  plusMinusM?: number;
  /** number of the peg that far off, counted from 1 */
  worstPeg: number;
  /** its name */
  worstName?: string;
  /** whether it is off by the tolerance and twice plusMinusM more, by levelled pegs */
  sure: boolean;
  /** the way water runs along the line there */
  waterRuns: "towards the start" | "towards the end" | "both ways" | "into it";
  /** numbers of the pegs where that water comes to rest or leaves the line */
  drainsToPegs: number[];
  /** the same in a sentence */
  text: string;
}

export interface Holding {
  /** [m] of line along which water stands once rain has filled it */
  lengthM: number;
  /** [m] one standard deviation of lengthM; none when nobody knows how good the levels are */
  plusMinusM?: number;
  /** [%] of the whole line */
  sharePct: number;
  /** where the water is */
  wet: Wet[];
  /** fewest stops, besides the ends, for all of the line to hold; 201 stands for any more */
  stopsNeeded: number;
  /** [m] chainages at which to stop the furrow or leave it unripped; none when there are too many */
  stopsAtM: number[];
}

export interface Wet {
  /** [m] chainage */
  fromM: number;
  /** [m] chainage */
  toM: number;
}
