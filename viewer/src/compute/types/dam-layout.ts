// Written by go generate ./viewer/typing from the schemas of model/compute.

// dam-layout: where check dams go on a surveyed bed, each toe level with the crest below

import type { Input as Notch } from "./notch.ts";
import type { Bed, Caution, OutputBed, Rate } from "./shared.ts";

export interface Input {
  /** surveyed points of the bed from the downstream end up, at least two */
  bed: Bed[];
  /** [m] lowest point of the crest above the bed, foundation not counted; 0.4 if not given, usually 0.3 to 0.5, at most 1 */
  crestHeightM?: number | null;
  /** [m] chainage of the first toe; the downstream end, or the first place above a reach without dams there, if not given */
  fromM?: number | null;
  /** [m] no toe beyond this chainage; the upstream end if not given */
  toM?: number | null;
  /** [%] slope that silt settles at behind the dams; 0, level, if not given */
  depositSlopePct?: number | null;
  /** [m] only where the bed was booked from its head down and is turned here: a chainage as booked is this less the one here */
  turnedAtM?: number | null;
  /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
  levelPlusMinusM?: number | null;
  /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
  chainagePlusMinusM?: number | null;
  /** good places for dams: one is taken when the silt from below still reaches its toe */
  sites?: Site[] | null;
  /** [%] how much of its height a dam on a good site may lose to the silt from below; 50 if not given */
  buriedPct?: number | null;
  /** reaches in which no dam is built */
  skip?: Skip[] | null;
  /** whose limit for the slope of the bed: 6, 8, 10 or 20 %; none if not given */
  slopeLimit?: "stormwater channel" | "road ditch" | "brush fill" | "bale dam" | null;
  /** [%] no toe on a surveyed reach that climbs more steeply; instead of a named limit */
  maxBedSlopePct?: number | null;
  /** gully heads in the bed: a dam is put close below each, none in its plunge, on its wall or on its lip */
  heads?: Head[] | null;
  /** how close below a head a dam may stand, in depths of the head; 4 if not given */
  headNearDepths?: number | null;
  /** how far below a head its dam may stand, in depths of the head; 6 if not given */
  headFarDepths?: number | null;
  /** whose belief of the slope that silt settles at, from the mean slope of the whole bed; instead of depositSlopePct */
  depositRule?: "level" | "compensation" | "half" | "seven tenths" | null;
  /** peak flow and notch of every dam, as in notch: the level of its ends is then answered */
  notch?: Notch | null;
  /** how the dams are built: what they take is then answered */
  build?: Build | null;
  /** cross-sections of the gully, with a notch or a build: a dam within 10 m of one is built into the nearest, and where the notch has neither a length nor a head its own is as long as the gully's bottom is wide there, 0.1 m above the lowest point */
  sections?: Section[] | null;
  /** your hours and costs, with a build; one for dam is for each dam of any size */
  rates?: Rate[] | null;
  /** [m] crest heights to lay out side by side; an empty list stands for 0.3, 0.4 and 0.5 */
  heightsM?: number[] | null;
  /** a set-up of the level: what to look for on the staff for each peg of the layout */
  setOut?: SetOut | null;
}

export interface Site {
  /** [m] where a toe would stand well */
  chainageM: number;
  /** what makes it good */
  quality?: "narrow" | "straight" | "narrow and straight" | "firm bed" | "good" | null;
  /** [m] width of the bed there; that of the build if not given */
  widthM?: number | null;
}

export interface Skip {
  /** [m] chainage of the reach's lower end */
  fromM: number;
  /** [m] chainage of its upper end */
  toM: number;
  /** why no dam is wanted between; its ends are allowed */
  why: "rock" | "steep" | "other";
}

export interface Head {
  /** [m] of the foot of its wall */
  chainageM: number;
  /** [m] from its lip down to the foot */
  depthM: number;
}

export interface Build {
  /** what the dams are built from; loose rock if not given */
  material?: "loose rock" | "netting and posts" | "brushwood" | "hay bales" | null;
  /** [m] of the bed, where a site does not give its own */
  bedWidthM: number;
  /** of the left bank, looking downstream; 0, upright, if not given */
  leftRunPerRise?: number | null;
  /** of the right bank */
  rightRunPerRise?: number | null;
  /** [m] along the stream, from 0.2 m; hay bales do without; of netting and brushwood, from fence to fence */
  crestBreadthM?: number | null;
  /** of the upstream face; loose rock needs it */
  upstreamRunPerRise?: number | null;
  /** of the downstream face; loose rock needs it */
  downstreamRunPerRise?: number | null;
  /** [m] of the trench along the dam; 0: none. About 0.6 by Heede 1976, from memory */
  keyDepthM?: number | null;
  /** [m] of the trench; about 0.6 by the same */
  keyWidthM?: number | null;
  /** [m] into each bank; 1.2 to 1.8 by the same */
  keyIntoBankM?: number | null;
  /** how far below the toe rock is laid; Heede, 1.5 heights on beds to 15 % and 1.75 above (from memory), if not given */
  apronRule?: "Heede" | "2 m of large stone" | "none" | null;
  /** [m] of the apron; twice its median stone, where a notch gives the flow, and 0.3 at least if not given */
  apronThicknessM?: number | null;
  /** [%] of rock lost and left over */
  wastagePct?: number | null;
  /** [m] one standard deviation of the sizes given; not known if not given */
  accuracyM?: number | null;
}

export interface Section {
  /** [m] along the thalweg */
  chainageM: number;
  /** [m] offset and level of each point, from the left bank to the right, looking downstream */
  section: [number, number][];
}

export interface SetOut {
  /** [m] level of the line of sight, on the datum of the bed */
  instrumentLevelM: number;
  /** [m] longest reading of the staff; 5 if not given */
  staffLengthM?: number | null;
  /** what was read where a peg was tried */
  readings?: Reading[] | null;
}

export interface Reading {
  /** number of the dam, counted from 1, the lowest */
  dam: number;
  /** which of its pegs */
  spot: "toe" | "crest" | "abutment";
  /** [m] what was read on the staff */
  readM: number;
}

export interface Output {
  /** from the lowest up */
  dams: Dam[];
  /** [m] horizontal, from each toe to the next */
  spacingsM: number[];
  /** [m] one standard deviation each; the whole list is left out when one of them is not known */
  spacingsPlusMinusM?: number[];
  /** number of dams */
  count: number;
  /** [m] the height used */
  crestHeightM: number;
  /** [%] the deposit slope used */
  depositSlopePct: number;
  /** [%] the limit for the slope of the bed used; none where there is none */
  maxBedSlopePct?: number;
  /** the points of the bed, from the downstream end up */
  bed: OutputBed[];
  /** [m] only where the bed was booked from its head down and is turned here: a chainage as booked is this less the one here */
  turnedAtM?: number;
  /** [m] one standard deviation of a chainage of the bed; none when not known */
  chainagePlusMinusM?: number;
  /** [m] one standard deviation of each level of bed and crest; none when not known */
  levelPlusMinusM?: number;
  /** [m] length of bed, from the first toe up, that silt will cover */
  guardedM: number;
  /** [m] one standard deviation; none when not known */
  guardedPlusMinusM?: number;
  /** bed within reaches without dams that no silt will cover */
  bare: Bare[];
  /** gully heads below which no dam could be put */
  unguarded: Unguarded[];
  /** what the levels come from */
  basis: string;
  /** of every dam, if a notch was given */
  notch?: OutputNotch;
  /** what all dams take, if a build was given */
  bill?: Bill;
  /** side by side, if heightsM was given */
  layouts?: Layout[];
  /** the layouts in plain words; which matters most is for you to say */
  compare?: string[];
  /** pegs of the first layout, if a set-up was given */
  setOut?: OutputSetOut[];
  /** how many dams other rules for the deposit slope lead to */
  handbooks: Handbook[];
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Dam {
  /** [m] of the toe, from the downstream end of the thalweg */
  chainageM: number;
  /** [m] one standard deviation; none when not known */
  chainagePlusMinusM?: number;
  /** [m] of the bed at the toe */
  bedLevelM: number;
  /** [m] bed level plus crest height */
  crestLevelM: number;
  /** why the dam is there: first, level with the crest below, good site, below a head, or above a reach without dams */
  stands: string;
  /** the same in a sentence */
  why: string;
  /** [m] height of its toe below the silt of the dam downstream, 0 where the two just meet */
  buriedM: number;
  /** [m] chainage up to which it guards the bed: where its silt ends, or the next toe */
  siltToM: number;
  /** [m] of the bed there, if it was given for the site */
  widthM?: number;
  /** [m] chainage of the cross-section near the dam, if one was given */
  sectionM?: number;
  /** [m] along the crest; with a notch for each dam, as are those below: as long as the gully's bottom is wide */
  notchLengthM?: number;
  /** [m] of the peak flow above the bottom of the notch, which is the crest */
  headM?: number;
  /** [m] one standard deviation; none when not known */
  headPlusMinusM?: number;
  /** [m] from the water up to the dam's ends */
  freeboardM?: number;
  /** [m] from the ends down to the crest: head and freeboard, 0.15 at least */
  notchDepthM?: number;
  /** [m] one standard deviation; none when not known */
  notchDepthPlusMinusM?: number;
  /** [m] of the dam's ends: crest, head and freeboard; with a notch */
  abutmentLevelM?: number;
  /** [m] one standard deviation of that level; none when not known */
  abutmentPlusMinusM?: number;
  /** [m] of rock below the toe; with a build, as are those below */
  apronLengthM?: number;
  /** [m3] body, key, apron and wastage */
  rockM3?: number;
  /** [m3] one standard deviation; none when not known */
  rockPlusMinusM3?: number;
  /** [m3] trench to dig */
  keyM3?: number;
  /** [m2] netting */
  netM2?: number;
  /** number of posts */
  posts?: number;
  /** [m3] brush, packed */
  brushM3?: number;
  /** number of bales */
  bales?: number;
}

export interface Bare {
  /** [m] chainage where the silt from below ends */
  fromM: number;
  /** [m] chainage of the next toe, or of the end of the reach */
  toM: number;
  /** why no dam stands in it */
  why: string;
}

export interface Unguarded {
  /** [m] of the foot of its wall */
  chainageM: number;
  /** [m] from its lip down to the foot */
  depthM: number;
  /** why no dam stands below it */
  why: string;
}

export interface OutputNotch {
  /** [m] of the peak flow above the bottom of the notch, which is the crest */
  headM: number;
  /** [m] one standard deviation; none when not known */
  headPlusMinusM?: number;
  /** [m] from the water up to the dam's ends */
  freeboardM: number;
  /** [m] of the ends above the crest: head and freeboard */
  abutmentHeightM: number;
  /** [m] one standard deviation; none when not known */
  abutmentPlusMinusM?: number;
  /** [m] along the crest */
  notchLengthM: number;
}

export interface Bill {
  /** [m3] body, keys, aprons and wastage */
  rockM3: number;
  /** [m3] one standard deviation, the sizes being shared by all dams; none when not known */
  rockPlusMinusM3?: number;
  /** [h] of what has a rate for hours */
  hours?: number;
  /** [h] one standard deviation from the quantities alone; none when not known */
  hoursPlusMinus?: number;
  /** of what has a rate for cost, in your currency */
  cost?: number;
  /** one standard deviation from the quantities alone; none when not known */
  costPlusMinus?: number;
  /** item by item */
  rows: Row[];
  /** items without a rate: the sums lack them */
  unpriced: string[];
}

export interface Row {
  /** what is needed */
  item: string;
  /** how much, in the row's unit */
  quantity: number;
  /** one standard deviation in the row's unit; none when not known */
  plusMinus?: number;
  /** of the quantity */
  unit: string;
  /** [h] by the rate */
  hours?: number;
  /** by the rate */
  cost?: number;
  /** which rate is lacking */
  note?: string;
}

export interface Layout {
  /** [m] of its dams */
  crestHeightM: number;
  /** number of dams */
  count: number;
  /** [m] length of bed that silt will cover */
  guardedM: number;
  /** [m] one standard deviation; none when not known */
  guardedPlusMinusM?: number;
  /** what its dams take, if a build was given */
  bill?: Bill;
  /** from the lowest up */
  dams: Dam[];
}

export interface OutputSetOut {
  /** number of the dam, counted from 1, the lowest */
  dam: number;
  /** toe, crest or abutment */
  spot: string;
  /** [m] to set out */
  levelM: number;
  /** [m] to look for on the staff */
  readingM?: number;
  /** [m] one standard deviation, of the two levels it lies between; none when not known */
  readingPlusMinusM?: number;
  /** why there is no reading, and what to do */
  cannot?: string;
  /** [m] as read */
  readM?: number;
  /** [m] how far the foot of the staff is above the level; minus is below */
  offM?: number;
  /** which way the foot of the staff must go: up when the reading is too great */
  move?: string;
}

export interface Handbook {
  /** what the deposit slope is taken as */
  rule: string;
  /** [%] by that rule, from the mean slope of the whole bed */
  depositSlopePct: number;
  /** number of dams */
  count: number;
  /** where it comes from */
  source: string;
}
