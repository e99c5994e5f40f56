// Written by go generate ./viewer/typing from the schemas of model/compute.

// whoa-boys: where whoa-boys go on a surveyed track, by its real falls and a named table

import type { Caution, GullyHead, NoOutlet, Row, Side, Slope, Track } from "./shared.ts";

export interface Input {
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
  /** [m] chainages of banks that stand; the layout goes on from each, and lays out what is missing */
  standingM?: number[] | null;
  /** [deg] between bank and track; 45 if not given, guides say 45 to 60 */
  angleDeg?: number | null;
  /** [m] width of the tread, for the length of a bank */
  trackWidthM?: number | null;
  /** [m] how far a bank reaches past each edge; 0.3 if not given */
  pastEdgeM?: number | null;
  /** length along the bank for each metre that it falls to its outlet, as 300 */
  oneIn?: number | null;
  /** [m] height wanted once the bank has settled */
  settledHeightM?: number | null;
  /** [%] of the height as built that traffic and rain take; 0 if not given */
  settlePct?: number | null;
}

export interface Output {
  /** by growing chainage */
  banks: Bank[];
  /** number of banks */
  count: number;
  /** [m] of each bank from the break above it */
  spacingsM: number[];
  /** [%] mean fall over each spacing */
  slopesPct: number[];
  /** lengths of track that drain one way, by growing chainage */
  slopes: Slope[];
  /** reaches longer than allowed, for want of a safe outlet */
  unserved: Unserved[];
  /** the table used and where it is printed */
  tableSource: string;
  /** [m] as given: banks that stand and are not among those laid out */
  standingM?: number[];
  /** surveyed points along the track, lowest chainage first, at least two */
  track: OutputTrack[];
  /** whose spacings; they differ threefold and are never blended; local if rows are given */
  table?: "water-bars-two-soils" | "dips-and-culverts" | "water-bars-by-class" | "legal-maximum-by-hazard" | "water-bars-one-soil" | "broad-based-dips" | "local";
  /** column of that table: water-bars-two-soils general, highly erodible; dips-and-culverts and water-bars-by-class low to non-erosive, erosive; legal-maximum-by-hazard extreme, high, moderate, low hazard; broad-based-dips near end of range, far end of range; the others have one column */
  soil?: "general" | "highly erodible" | "low to non-erosive" | "erosive" | "extreme" | "high" | "moderate" | "low" | "near end of range" | "far end of range";
  /** what applies between two printed grades: the steeper row if not given, since no table says otherwise */
  between?: "steeper" | "straight line" | "log-log";
  /** the local table, gentlest grade first, as the settings of a property and their exports have it in whoaBoyRows */
  rows?: Row[];
  /** who published the local table */
  rowsSource?: string;
  /** safe side for water, looking down the track; either if not given */
  side?: "left" | "right" | "either" | "none";
  /** reaches with another safe side; they may touch, not overlap */
  sides?: OutputSide[];
  /** reaches in which no water may be let out */
  noOutlet?: OutputNoOutlet[];
  /** gully heads near the track */
  gullyHeads?: OutputGullyHead[];
  /** [m] how far an outlet is kept from a gully head and from a lower limb of the track, on its side; 30 if not given */
  clearanceM?: number;
  /** [m] least rise of the track that parts its water; 0.15 if not given */
  humpM?: number;
  /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
  /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
  levelPlusMinusM?: number;
  /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
  chainagePlusMinusM?: number;
  /** [deg] between bank and track */
  angleDeg: number;
  /** [m] along its crest, for the width given */
  bankLengthM?: number;
  /** [m] from its upper end to its outlet, for the width and oneIn given */
  bankFallM?: number;
  /** [m] to build, for the settled height given */
  builtHeightM?: number;
  /** what guides say of a bank's shape; where they differ both stand here */
  shape: Shape[];
  /** what each published table would lead to on this track */
  tables: Table[];
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Bank {
  /** [m] along the track */
  chainageM: number;
  /** [m] of the track there */
  levelM: number;
  /** [deg] longitude and latitude, WGS84, where the track has positions */
  position?: [number, number];
  /** on which its water is let out, looking down the track */
  side: "left" | "right" | "either";
  /** [m] chainage of the bank above it, or of the top of the slope */
  aboveM: number;
  /** [m] from there */
  spacingM: number;
  /** [m] one standard deviation, once pegged as the track was surveyed; none when not known */
  spacingPlusMinusM?: number;
  /** [%] mean fall of the track from there */
  slopePct: number;
  /** [%] one standard deviation; none when not known */
  slopePlusMinusPct?: number;
  /** [m] farthest that the table allows on that fall */
  allowedM: number;
  /** the table's row */
  row: string;
  /** why that row, where none is printed for the fall */
  rowWhy?: string;
  /** [m] what is allowed if the fall is twice its ± steeper, where that is less */
  otherAllowedM?: number;
  /** [m] up the track from the farthest place allowed, to a safe outlet */
  movedM: number;
  /** no place near enough has a safe outlet: see unserved */
  tooFar: boolean;
  /** why that side, what bars the other, or what moved the bank */
  why?: string;
}

export interface Unserved {
  /** [m] chainage of the break above */
  fromM: number;
  /** [m] chainage of the next break below */
  toM: number;
  /** [m] between them */
  lengthM: number;
  /** [m] how far below the upper one a bank was due */
  allowedM: number;
  /** why none can be put there */
  why: string;
}

export interface OutputTrack {
  /** [m] along the track from one end of the survey; this or position */
  chainageM?: number;
  /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
  position?: [number, number];
  /** [m] level of the middle of the track on the datum of the run */
  levelM: number;
}

export interface OutputSide {
  /** [m] chainage at which the reach begins */
  fromM: number;
  /** [m] chainage at which it ends */
  toM: number;
  /** safe side, looking down the track */
  side: "left" | "right" | "either" | "none";
  /** why that side */
  why?: string;
}

export interface OutputNoOutlet {
  /** [m] chainage at which the reach begins */
  fromM: number;
  /** [m] chainage at which it ends */
  toM: number;
  /** side on which no water may be let out; both if not given */
  side?: "left" | "right" | "either";
  /** what lies there: another bank's catch, a shed, a neighbour */
  why?: string;
}

export interface OutputGullyHead {
  /** what it is called; its place in the list if not given */
  name?: string;
  /** [m] of the place on the track square to it; this or position */
  chainageM?: number;
  /** [m] from that place; 0, on the track, if not given */
  offsetM?: number;
  /** on which it lies, looking down the track; both are kept clear if not given */
  side?: "left" | "right";
  /** [deg] longitude and latitude, WGS84, for a track surveyed by positions */
  position?: [number, number];
  /** [m] level of its lip on the track's datum: a head above the track takes none of its water */
  lipLevelM?: number;
  /** [m] one standard deviation of its place; not known if not given */
  plusMinusM?: number;
}

export interface Shape {
  /** what of the bank */
  item: string;
  /** least that the guide gives, in the unit beside */
  low: number;
  /** most that it gives; none where it gives a least figure alone */
  high?: number;
  /** of both */
  unit: string;
  /** the guide */
  source: string;
}

export interface Table {
  /** whose spacings */
  table: string;
  /** its column */
  soil?: string;
  /** number of banks, outlets left aside; none where the table does not go as steep */
  count?: number;
  /** where it is printed */
  source: string;
}
