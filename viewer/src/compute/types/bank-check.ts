// Written by go generate ./viewer/typing from the schemas of model/compute.

// bank-check: whether a bank's channel falls to its outlet as it should, where water stands, and what its lowest crest lets pass

import type { Caution, Reach } from "./shared.ts";

export interface Input {
  /** levelled pegs along the bank, in order */
  pegs: Peg[];
  /** end at which the water leaves */
  outletAt: "first peg" | "last peg";
  /** grades that the channel should have, from its top down to the outlet: one, or more that steepen; the top one goes on if the bank is longer */
  reaches: Reach[];
  /** how the levels came about; levelled if not given, and nothing else can pass */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a level; that of one set-up, 0.0028, if levelled and not given */
  levelPlusMinusM?: number | null;
  /** lean of the bank's face towards the water; with it, the flow is calculated */
  bankRunPerRise?: number | null;
  /** [m] to keep below the lowest crest; 0 if not given */
  freeboardM?: number | null;
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
  /** whose rows to take of a level run that has those of several features */
  feature?: string | null;
}

export interface Peg {
  /** what to call the peg; its number if not given */
  name?: string | null;
  /** [m] along the bank, growing */
  chainageM: number;
  /** [m] of the channel's bed */
  levelM: number;
  /** [m] of the bank's crest beside it, at its lowest */
  crestLevelM?: number | null;
}

export interface Output {
  /** OK, fails, or not levelled: these levels cannot decide it */
  verdict: "OK" | "fails" | "not levelled";
  /** why it fails */
  reasons: string[];
  /** [%] fall of the whole channel to its outlet; minus climbs */
  meanGradePct: number;
  /** [%] one standard deviation; none when not known */
  meanGradePlusMinusPct?: number;
  /** between neighbouring pegs, by growing chainage */
  lengths: Length[];
  /** the pegs, farthest off the grade first */
  worstFirst: WorstFirst[];
  /** low parts where water stands and runs over */
  pools: Pool[];
  /** the crest at which the least water passes, or without a channel the lowest above its bed; none where no crest was levelled */
  lowest?: Lowest;
  /** [m/s] velocity that the channel bears; none when not given */
  permissibleMS?: number;
  /** whose figure that is */
  permissibleSource?: string;
  /** how the levels came about */
  basis: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven";
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Length {
  /** [m] chainage of its upper peg, the one farther from the outlet */
  fromM: number;
  /** [m] chainage of its lower peg */
  toM: number;
  /** [%] fall towards the outlet; minus climbs */
  gradePct: number;
  /** [%] one standard deviation; none when not known */
  gradePlusMinusPct?: number;
  /** [%] mean fall wanted there */
  wantedPct: number;
  /** [m/s] at which the peak runs there; none without a channel and a peak, or where it does not fall */
  velocityMS?: number;
  /** too flat is below half of what is wanted, too steep above twice, too fast above what the channel bears */
  verdict: "ok" | "too flat" | "climbs" | "too steep" | "too fast" | "not levelled";
  /** another verdict lies within twice the ± */
  close: boolean;
  /** of the verdict */
  reason?: string;
}

export interface WorstFirst {
  /** number of the peg, counted from 1 */
  peg: number;
  /** its name */
  name?: string;
  /** [m] along the bank */
  chainageM: number;
  /** [m] level that the bed should have */
  wantedM: number;
  /** [m] above it; minus is below */
  offM: number;
  /** [m] one standard deviation of offM; none when not known */
  plusMinusM?: number;
  /** what to do */
  move?: string;
}

export interface Pool {
  /** [m] chainage where the water ends on the side of the outlet */
  fromM: number;
  /** [m] chainage where it ends up the bank */
  toM: number;
  /** [m] chainage of its deepest peg */
  deepestM: number;
  /** [m] of the water there when it runs over */
  depthM: number;
  /** [m] one standard deviation of depthM; none when not known */
  depthPlusMinusM?: number;
  /** [m] chainage where it runs over */
  spillM: number;
  /** it runs over the bank there, and not along the channel */
  overTheBank: boolean;
}

export interface Lowest {
  /** number of the peg, counted from 1 */
  peg: number;
  /** its name */
  name?: string;
  /** [m] along the bank */
  chainageM: number;
  /** [m] of the crest above the bed there */
  heightM: number;
  /** [m] one standard deviation; none when not known */
  heightPlusMinusM?: number;
  /** that passes there below the freeboard, in long grass, at the mean grade or that wanted there, whichever is flatter; none where none passes, the bank as a whole is too flat, or nothing is known of the channel */
  flow?: Flow;
}

export interface Flow {
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
