// Written by go generate ./viewer/typing from the schemas of model/compute.

// bank-layout: a graded diversion or contour bank: levels to peg down to its outlet, its size, earth and spacing

import type { Caution, Reach, Row } from "./shared.ts";

export interface Input {
  /** where the water leaves the bank */
  outlet: Outlet;
  /** lengths of the bank from its top down to the outlet, with their grades: one, or more that steepen */
  reaches: Reach[];
  /** end from which chainages are measured and pegs are set; outlet if not given */
  chainageFrom?: "outlet" | "top" | null;
  /** [m] 20 if not given */
  pegSpacingM?: number | null;
  /** named limit of a bank's length: 300 m on sandveld, 400 m on red soil, of contour ridges in South Africa; or give lengthLimitM */
  lengthLimit?: "sandveld" | "red soil" | null;
  /** [m] longest bank by the local rule */
  lengthLimitM?: number | null;
  /** [m] level of the line of sight of this set-up, for readings */
  instrumentLevelM?: number | null;
  /** [m] longest reading of the staff; 5 if not given */
  staffLengthM?: number | null;
  /** [%] of the land across the bank, which is the channel's upper side too unless uphillRunPerRise is given */
  landSlopePct?: number | null;
  /** [%] one standard deviation; not known if not given */
  landSlopePlusMinusPct?: number | null;
  /** lean of the channel's upper side where it is cut */
  uphillRunPerRise?: number | null;
  /** one standard deviation; not known if not given */
  uphillRunPerRisePlusMinus?: number | null;
  /** [m] of a level bed between the sides; 0, where the bank's face meets the slope, if not given */
  bedWidthM?: number | null;
  /** named roughness, with the grass long; or give manningN */
  lining?: "straight earth" | "clean straight stream" | "short grass" | "high grass" | "light brush" | null;
  /** Manning's roughness with the grass long, for what the channel carries */
  manningN?: number | null;
  /** one standard deviation; of a named one with a range, range/√12; not known otherwise */
  manningNPlusMinus?: number | null;
  /** roughness with the grass short, for the velocity; manningN if not given */
  shortManningN?: number | null;
  /** what the channel's ground is, for the velocity it bears; or give permissibleMS */
  cover?: "couch" | "sod grasses" | "grass mixture" | "lovegrass" | "annuals" | "bare sandy loam" | "bare loess" | "bare fine sand" | null;
  /** whether the soil is easily eroded; resistant if not given */
  easilyEroded?: boolean | null;
  /** whether the subsoil is dispersive: the channel then bears the lowest velocity listed, with any cover */
  dispersive?: boolean | null;
  /** [m/s] velocity that the channel bears, by a local table */
  permissibleMS?: number | null;
  /** whose figure that is */
  permissibleSource?: string | null;
  /** [m3/s] peak of the design storm from the catchment, as of peak-flow */
  flowM3S?: number | null;
  /** [m3/s] one standard deviation; not known if not given */
  flowPlusMinusM3S?: number | null;
  /** [har] of the catchment; at most 130 */
  areaHa?: number | null;
  /** [m] of water to build for; what the peak takes in the flattest reach if not given */
  depthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  depthPlusMinusM?: number | null;
  /** lean of the bank's face towards the water, run over rise */
  bankRunPerRise: number;
  /** lean of its downhill face; bankRunPerRise if not given */
  outerRunPerRise?: number | null;
  /** [m] of the crest; a grader builds about 3 m */
  topWidthM: number;
  /** [m] of the settled crest above the water; guides keep 0.09 to 0.3 m */
  freeboardM: number;
  /** [%] of the height as built that settling takes: 10 on small earth works, 20 to 25 of earth tipped loose (from memory) */
  settlementPct: number;
  /** whose rule; the published ones are for ploughed land, ditches or building sites, none is for grazing land; local if its numbers are given. None: the bank stands alone, as one above a gully head does */
  spacingRule?: "local" | "ramser" | "india-high-rainfall" | "rajasthan" | "kenya" | "hillside-ditch" | "interceptor-dike" | null;
  /** a of a local rule VI = a S + b, S being the land's slope in per cent */
  slopeFactor?: number | null;
  /** b of it */
  constant?: number | null;
  /** unit in which that rule gives VI; m if not given */
  ruleUnit?: "m" | "cm" | "ft" | null;
  /** a local table instead, gentlest slope of land first; distances on the level */
  rows?: Row[] | null;
  /** who published the local rule or table */
  ruleSource?: string | null;
}

export interface Outlet {
  /** what the bank lets its water out on to */
  kind: "grassed waterway" | "natural depression" | "grassed area" | "level spreader" | "none";
  /** [m] of the channel's bed at the outlet */
  levelM: number;
  /** whether it is grassed and will stand the water when it comes */
  stable: boolean;
  /** whether water runs from there to a gully head */
  toGullyHead: boolean;
  /** whether it is sent across a boundary */
  toNeighbour?: boolean | null;
}

export interface Output {
  /** fails when the peak does not pass, the water runs too fast or the bank is too long */
  verdict: "OK" | "fails";
  /** why it fails, and what to do */
  reasons: string[];
  /** pegs to set, in the order of their chainages */
  setOut: SetOut[];
  /** [m] of the bank */
  lengthM: number;
  /** [m] of its channel from the top to the outlet */
  fallM: number;
  /** of banks down the slope; none without a rule */
  spacing?: Spacing;
  /** [m] of the water at its deepest */
  flowDepthM: number;
  /** [m] one standard deviation; none when not known */
  flowDepthPlusMinusM?: number;
  /** [m] of the crest once the bank has settled: the water and the freeboard */
  settledHeightM: number;
  /** [m] one standard deviation; none when not known */
  settledHeightPlusMinusM?: number;
  /** [m] of the crest as built: the settled height divided by what settling leaves */
  builtHeightM: number;
  /** [m] one standard deviation; none when not known */
  builtHeightPlusMinusM?: number;
  /** [m] of the crest */
  topWidthM: number;
  /** [m] of the bank as built */
  baseWidthM: number;
  /** [m3/m] in each metre of bank as built, before it settles */
  earthM3PerM: number;
  /** [m3/m] one standard deviation; none when not known */
  earthPlusMinusM3PerM?: number;
  /** [m3] in the whole bank */
  earthM3: number;
  /** [m3] one standard deviation; none when not known */
  earthPlusMinusM3?: number;
  /** [m3/s] that the channel carries at the flow depth in its flattest reach */
  capacityM3S: number;
  /** [m3/s] one standard deviation; none when not known */
  capacityPlusMinusM3S?: number;
  /** the water in the flattest reach, in long grass */
  deepest: Deepest;
  /** the water in the steepest reach, in short grass */
  fastest: Deepest;
  /** [%] steepest grade at which the channel bears that water, at most 5; none where what it bears is not given */
  bearsUpToPct?: number;
  /** a storm drain printed for such a catchment, to compare: falls 1 in 150, sandy clay, medium cover */
  printedSize?: PrintedSize;
  /** where the catchment's area comes from: given, or the length times the spacing */
  areaFrom?: "given" | "spacing";
  /** what guides say of a bank's measures; where they differ all stand here */
  advice: Advice[];
  /** as given */
  reaches: Reach[];
  /** end from which chainages are measured */
  chainageFrom: "outlet" | "top";
  /** as given */
  bankRunPerRise: number;
  /** lean of the channel's upper side */
  uphillRunPerRise: number;
  /** one standard deviation; none when not known */
  uphillRunPerRisePlusMinus?: number;
  /** [m] of the channel */
  bedWidthM: number;
  /** the roughness used for what it carries */
  manningN: number;
  /** one standard deviation; none when not known */
  manningNPlusMinus?: number;
  /** the roughness used for the velocity */
  shortManningN: number;
  /** whose they are */
  roughnessSource: string;
  /** [m/s] velocity that the channel bears; none when not given */
  permissibleMS?: number;
  /** whose figure that is */
  permissibleSource?: string;
  /** [m] as given */
  freeboardM: number;
  /** [m3/s] the peak, as given */
  flowM3S?: number;
  /** [m3/s] one standard deviation; not known if not given */
  flowPlusMinusM3S?: number;
  /** [%] as given */
  landSlopePct?: number;
  /** [%] one standard deviation; not known if not given */
  landSlopePlusMinusPct?: number;
  /** [har] of the catchment */
  areaHa?: number;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface SetOut {
  /** [m] along the bank from the end named in chainageFrom */
  chainageM: number;
  /** [m] of the bed: move the peg up or down the slope until the staff shows it */
  levelM: number;
  /** [%] fall from here towards the outlet; at the outlet that before it */
  gradePct: number;
  /** [m] to look for on the staff from this set-up; it grows down the grade */
  readingM?: number;
  /** why there is no reading, and what to do */
  cannot?: string;
}

export interface Spacing {
  /** whose rule */
  rule: string;
  /** the rule with its unit, as printed or given */
  text: string;
  /** the land that it is printed for */
  madeFor: string;
  /** where it is printed */
  source: string;
  /** [m] fall of the land from one bank to the next */
  verticalM: number;
  /** [m] one standard deviation; none when not known */
  verticalPlusMinusM?: number;
  /** [m] from bank to bank, measured on the level */
  horizontalM: number;
  /** [m] one standard deviation, from that of the land's slope; none when not known */
  horizontalPlusMinusM?: number;
  /** [m] the same along the ground, as a tape lies */
  alongGroundM: number;
  /** [m] of bank on each hectare of the map */
  lengthPerHaM: number;
}

export interface Deepest {
  /** [%] fall of the channel that it is calculated for */
  gradePct: number;
  /** [m] of the water at its deepest */
  depthM: number;
  /** [m] one standard deviation; none when not known */
  depthPlusMinusM?: number;
  /** [m3/s] the flow */
  flowM3S: number;
  /** [m3/s] one standard deviation; none when not known */
  flowPlusMinusM3S?: number;
  /** [m/s] mean */
  velocityMS: number;
  /** [m2] of the water across the channel */
  areaM2: number;
  /** [m] wetted perimeter */
  wettedM: number;
  /** [m] of the surface */
  waterWidthM: number;
}

export interface PrintedSize {
  /** [har] largest catchment that it is printed for */
  toHa: number;
  /** [m] of the drain */
  widthM: number;
  /** [m] of the drain */
  depthM: number;
}

export interface Advice {
  /** what of the bank */
  item: string;
  /** the banks that the guide is about */
  for: string;
  /** least that the guide gives, in the unit beside */
  low: number;
  /** most that it gives; none where it gives a least figure alone */
  high?: number;
  /** of both */
  unit: string;
  /** whether this bank is as the guide says */
  inside: boolean;
  /** the guide */
  source: string;
}
