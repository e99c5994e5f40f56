// Written by go generate ./viewer/typing from the schemas of model/compute.

// Parts that several computations have in common.

export interface Row {
  /** [%] steepest grade of the row, which begins where the one before ends */
  upToPct: number;
  /** [m] farthest that banks may stand apart */
  spacingM: number;
}

export interface Caution {
  /** the figure, field or check it is tied to; none for the whole */
  about?: string;
  /** the sentence */
  text: string;
}

export interface Bed {
  /** [m] along the levelled line; of a gully along the thalweg, from its downstream end; this or position */
  chainageM?: number | null;
  /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
  position?: [number, number] | null;
  /** [m] level of the bed on the datum of the run */
  levelM: number;
}

export interface OutputBed {
  /** [m] along the levelled line; of a gully along the thalweg, from its downstream end; this or position */
  chainageM?: number;
  /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
  position?: [number, number];
  /** [m] level of the bed on the datum of the run */
  levelM: number;
}

export interface Reach {
  /** [m] along the bank */
  lengthM: number;
  /** [%] fall towards the outlet */
  gradePct: number;
}

export interface Rate {
  /** what it is for, as the quantities name it */
  item: string;
  /** for one of which */
  unit: "m" | "km" | "m2" | "ha" | "m3" | "kg" | "t" | "each" | "h";
  /** in currency; not known if not given */
  costPerUnit?: number | null;
  /** [h] of work; not known if not given */
  hoursPerUnit?: number | null;
}

export interface Duration {
  /** [min] duration of the rain */
  minutes: number;
  /** [mm/h] mean intensity over that duration, not the depth */
  intensityMmH: number;
}

export interface Fences {
  /** 2 with the rock between them, 1 with the rock heaped upstream; 2 if not given */
  count?: number | null;
  /** [m] most between posts; 1.2 if not given */
  postSpacingM?: number | null;
  /** [m] length of a post in the ground; 0.6 if not given */
  postIntoGroundM?: number | null;
  /** [m] up each post, between wires that tie the fences; 0.3 if not given */
  tieEveryM?: number | null;
  /** [%] netting lost where rolls meet; 10 if not given */
  netOverlapPct?: number | null;
}

export interface Brush {
  /** [m] most between stakes of a row; 0.5 if not given */
  stakeSpacingM?: number | null;
  /** [m] length of a stake in the ground; 0.5 if not given */
  stakeIntoGroundM?: number | null;
  /** [m] of a bundle as it lies tied; no bundles are counted if not given */
  bundleDiameterM?: number | null;
  /** [m] of a bundle */
  bundleLengthM?: number | null;
}

export interface Bale {
  /** [m] of a bale as it lies */
  heightM: number;
  /** [m] along the stream */
  widthM: number;
  /** [m] across the gully */
  lengthM: number;
  /** [m] how deep it is let into the ground; 0.15 if not given */
  embedM?: number | null;
  /** through each bale; 2 if not given */
  stakesEach?: number | null;
}

export interface Item {
  /** what is counted */
  item: string;
  /** in which unit */
  unit: string;
  /** how much of it */
  quantity: number;
  /** one standard deviation in the same unit; none when not known */
  plusMinus?: number;
  /** [t/m3] of rock, as it was given: it can then be priced by the tonne */
  bulkDensityTM3?: number;
}

export interface Track {
  /** [m] along the track from one end of the survey; this or position */
  chainageM?: number | null;
  /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
  position?: [number, number] | null;
  /** [m] level of the middle of the track on the datum of the run */
  levelM: number;
}

export interface Side {
  /** [m] chainage at which the reach begins */
  fromM: number;
  /** [m] chainage at which it ends */
  toM: number;
  /** safe side, looking down the track */
  side: "left" | "right" | "either" | "none";
  /** why that side */
  why?: string | null;
}

export interface NoOutlet {
  /** [m] chainage at which the reach begins */
  fromM: number;
  /** [m] chainage at which it ends */
  toM: number;
  /** side on which no water may be let out; both if not given */
  side?: "left" | "right" | "either" | null;
  /** what lies there: another bank's catch, a shed, a neighbour */
  why?: string | null;
}

export interface GullyHead {
  /** what it is called; its place in the list if not given */
  name?: string | null;
  /** [m] of the place on the track square to it; this or position */
  chainageM?: number | null;
  /** [m] from that place; 0, on the track, if not given */
  offsetM?: number | null;
  /** on which it lies, looking down the track; both are kept clear if not given */
  side?: "left" | "right" | null;
  /** [deg] longitude and latitude, WGS84, for a track surveyed by positions */
  position?: [number, number] | null;
  /** [m] level of its lip on the track's datum: a head above the track takes none of its water */
  lipLevelM?: number | null;
  /** [m] one standard deviation of its place; not known if not given */
  plusMinusM?: number | null;
}

export interface Slope {
  /** [m] chainage at which its water parts */
  topM: number;
  /** [m] chainage at which it gathers */
  footM: number;
  /** [m] from top to foot */
  lengthM: number;
  /** [%] mean fall */
  slopePct: number;
}

export interface Grade {
  /** its name */
  soil: string;
  /** the steepest allowed is 1 in this */
  leastRunPerRise: number;
  /** where it comes from */
  source: string;
}

export interface Sowing {
  /** what it is called */
  item: string;
  /** what it is */
  is: "seed" | "fertiliser" | "gypsum" | "mulch";
  /** how much on each hectare or acre, the officer's own; of seed, drilled and pure live unless method and shares are left out */
  rate: number;
  /** unit of rate; kg/ha if not given */
  rateUnit?: "kg/ha" | "t/ha" | "lb/ac" | "short ton/ac" | null;
  /** how seed is sown: broadcast takes twice as much; rate is used as it is if not given */
  method?: "drilled" | "broadcast" | null;
  /** [%] of the seed lot that is this seed; all of it if not given */
  purityPct?: number | null;
  /** [%] of that seed that germinates; all of it if not given */
  germinationPct?: number | null;
}

export interface Sown {
  /** what it is called */
  item: string;
  /** what it is */
  is: string;
  /** [kg/har] put on each hectare: of seed with what is added for how it is sown, and for what of the lot grows */
  kgHa: number;
  /** [kg] for the area */
  kg: number;
  /** [kg] one standard deviation, the rate taken as exact; none when not known */
  kgPlusMinus?: number;
}
