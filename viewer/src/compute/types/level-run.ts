// Written by go generate ./viewer/typing from the schemas of model/compute.

// level-run: levels from a level book, with its checks, its misclosure and its adjustment

export interface Input {
  /** the level book, in the order in which it was booked */
  rows: Row[];
  /** what the run may be out by; 5 mm for each root set-up if not given */
  tolerance?: Tolerance | null;
  /** true spreads any misclosure, false none; if not given, one within the allowable is spread */
  adjust?: boolean | null;
  /** [m] longest reading of the staff; 5 if not given */
  staffLengthM?: number | null;
  /** [mm] one standard deviation of a reading; 2 if not given */
  readingPlusMinusMm?: number | null;
}

export interface Row {
  /** what the staff stood on */
  point?: string | null;
  /** [m] backsight; a change point has both fs and bs */
  bs?: number | null;
  /** [m] intermediate sight */
  is?: number | null;
  /** [m] foresight */
  fs?: number | null;
  /** [m] starts the run on the first row; on a later row, what the run should close on */
  knownLevelM?: number | null;
  /** [m] along the levelled route from its start */
  distanceM?: number | null;
  /** staff upside down on an overhead point, reading as read; or book the reading negative */
  inverted?: boolean | null;
  /** anything noted; not used */
  remark?: string | null;
  /** ruled through: kept and passed over */
  struck?: boolean | null;
  /** [m] level reduced by hand, to be checked */
  bookedLevelM?: number | null;
  /** the feature the staff stood on */
  feature?: string | null;
  /** which part of the feature: bed, toe, crest, peg, section */
  spot?: string | null;
  /** [m] along the feature; a long section is made of the rows that have one */
  chainageM?: number | null;
  /** [m] of a point of a cross-section, from the thalweg: left negative, right positive, looking downstream */
  offsetM?: number | null;
}

export interface Tolerance {
  /** [mm] k of k*sqrt(K), K the levelled distance in km; needs distanceM */
  perRootKmMm?: number | null;
  /** [mm] k of k*sqrt(n), n the number of set-ups; the stricter applies if both are given */
  perRootSetupMm?: number | null;
}

export interface Output {
  /** one for each row given */
  rows: OutputRow[];
  /** totals of the columns */
  sums: Sums;
  /** rise and fall, height of instrument, their sums and any booked level agree */
  arithmeticOK: boolean;
  /** number of set-ups */
  setups: number;
  /** [m] reduced less known level at the last known foresight; absent when the run never comes to one */
  misclosureM?: number;
  /** [m] what the tolerance allows to there; absent when it cannot be calculated */
  allowableM?: number;
  /** the run ends on a known level and is within the allowable on every known level */
  closed: boolean;
  /** in order as far as it goes, and does not end on a known level: not closed yet */
  unfinished: boolean;
  /** row of the book, counted from 1, up to which the levels are proven; what is booked after it is not closed yet; absent when none is */
  closedToRow?: number;
  /** each known level after the first, against the known level before it */
  closures: Closure[];
  /** how the misclosure was spread */
  adjustedBy: "none" | "set-ups" | "distance";
  /** of the run's levels */
  basis: "levelled" | "unproven";
  /** why the run does not close or its arithmetic is not in order */
  reasons: string[];
  /** what to know beside the figures */
  cautions: Caution[];
}

export interface OutputRow {
  /** as given */
  point?: string;
  /** passed over: the row has no level */
  struck?: boolean;
  /** set-up that the level was sighted from; 0 at the start */
  setup: number;
  /** [m] level as reduced, before any adjustment */
  levelM?: number;
  /** [m] rise from the sight before */
  riseM?: number;
  /** [m] fall from the sight before */
  fallM?: number;
  /** [m] level of the line of sight after this row's backsight */
  instrumentLevelM?: number;
  /** [m] level after spreading the misclosure, to 0.1 mm; past a known level, carried from that */
  adjustedLevelM?: number;
  /** [m] one standard deviation against the start of the run: that of a reading times the root of twice the set-ups */
  plusMinusM?: number;
  /** unproven where the run fails here or before, or hangs */
  basis?: "levelled" | "unproven";
  /** as given */
  feature?: string;
  /** as given */
  spot?: string;
  /** [m] as given */
  chainageM?: number;
  /** [m] as given */
  offsetM?: number;
}

export interface Sums {
  /** [m] of backsights */
  bs: number;
  /** [m] of foresights */
  fs: number;
  /** [m] of rises */
  rise: number;
  /** [m] of falls */
  fall: number;
}

export interface Closure {
  /** row of the book, counted from 1 */
  row: number;
  /** set-ups from the known level before */
  setups: number;
  /** [m] gained since the known level before */
  misclosureM: number;
  /** [m] what the tolerance allows */
  allowableM?: number;
  /** within the allowable */
  closed: boolean;
  /** by an intermediate sight: a check that does not close the run */
  onSight?: boolean;
}

export interface Caution {
  /** the value it is tied to */
  about: string;
  /** the caution */
  text: string;
}
