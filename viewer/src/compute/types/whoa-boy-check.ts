// Written by go generate ./viewer/typing from the schemas of model/compute.

// whoa-boy-check: whether a track's whoa-boys are near enough together and drain to safe ground

import type { Caution, GullyHead, NoOutlet, Row, Side, Slope, Track } from "./shared.ts";

export interface Input {
  /** the banks that are there, in any order */
  banks: Bank[];
  /** surveyed points along the track, lowest chainage first, at least two */
  track: Track[];
  /** whose spacings; they differ threefold and are never blended; local if rows are given */
  table?: "water-bars-two-soils" | "dips-and-culverts" | "water-bars-by-class" | "legal-maximum-by-hazard" | "water-bars-one-soil" | "broad-based-dips" | "local" | null;
  /** column of that table: water-bars-two-soils general, highly erodible; dips-and-culverts and water-bars-by-class low to non-erosive, erosive; legal-maximum-by-hazard extreme, high, moderate, low hazard; broad-based-dips near end of range, far end of range; the others have one column */
  soil?: "general" | "highly erodible" | "low to non-erosive" | "erosive" | "extreme" | "high" | "moderate" | "low" | "near end of range" | "far end of range" | null;
  /** what applies between two printed grades: the steeper row if not given, since no table says otherwise */
  between?: "steeper" | "straight line" | "log-log" | null;
  /** the local table, gentlest grade first, as the settings of a property and their exports have it in whoaBoyRows */
  rows?: Row[] | null;
  /** who published the local table */
  rowsSource?: string | null;
  /** safe side for water, looking down the track; either if not given */
  side?: "left" | "right" | "either" | "none" | null;
  /** reaches with another safe side; they may touch, not overlap */
  sides?: Side[] | null;
  /** reaches in which no water may be let out */
  noOutlet?: NoOutlet[] | null;
  /** gully heads near the track */
  gullyHeads?: GullyHead[] | null;
  /** [m] how far an outlet is kept from a gully head and from a lower limb of the track, on its side; 30 if not given */
  clearanceM?: number | null;
  /** [m] least rise of the track that parts its water; 0.15 if not given */
  humpM?: number | null;
  /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
  levelPlusMinusM?: number | null;
  /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
  chainagePlusMinusM?: number | null;
}

export interface Bank {
  /** what it is called; its place in the list if not given */
  name?: string | null;
  /** [m] along the track; this or position */
  chainageM?: number | null;
  /** [deg] longitude and latitude, WGS84, for a track surveyed by positions */
  position?: [number, number] | null;
  /** to which it lets the water out, looking down the track */
  side?: "left" | "right" | "either" | "none" | null;
}

export interface Output {
  /** slope by slope, each from its top down */
  intervals: Interval[];
  /** by growing chainage */
  outlets: Outlet[];
  /** lengths of track that drain one way, by growing chainage */
  slopes: Slope[];
  /** OK when every interval and outlet is ok; an outlet whose side is not given does not fail it */
  verdict: "OK" | "fails" | "not levelled";
  /** the table used and where it is printed */
  tableSource: string;
  /** what the levels come from */
  basis: string;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Interval {
  /** the bank above, or top */
  from: string;
  /** the bank below, or foot */
  to: string;
  /** [m] chainage of the upper one; water runs from there */
  fromM: number;
  /** [m] chainage of the lower one */
  toM: number;
  /** [m] between them */
  spacingM: number;
  /** [m] one standard deviation; none when not known */
  spacingPlusMinusM?: number;
  /** [%] mean fall between them */
  slopePct: number;
  /** [%] one standard deviation; none when not known */
  slopePlusMinusPct?: number;
  /** [m] farthest that the table allows on that fall */
  allowedM: number;
  /** [m] chainage by which the next bank was due, going down; toM where none was */
  nextByM: number;
  /** the table's row */
  row: string;
  /** why that row, where none is printed for the fall */
  rowWhy?: string;
  /** no row: steeper than the table goes; not levelled: no closed level run stands behind the fall */
  verdict: "ok" | "too far" | "no row" | "not levelled";
  /** another verdict lies within twice the ± */
  close: boolean;
  /** of the verdict */
  reason?: string;
}

export interface Outlet {
  /** the bank */
  name: string;
  /** [m] of the bank */
  chainageM: number;
  /** to which it lets the water out */
  side?: string;
  /** not known: nobody said to which side */
  verdict: "ok" | "not safe" | "not known";
  /** of the verdict */
  reason?: string;
  /** [m] from the bank to the nearest gully head on its side, straight */
  headM?: number;
  /** [m] one standard deviation; none when not known */
  headPlusMinusM?: number;
}
