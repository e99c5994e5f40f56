// Written by go generate ./viewer/typing from the schemas of model/compute.

// soil-loss: soil loss of a hillslope after over before its cover changed, as a ratio

import type { Caution } from "./shared.ts";

export interface Input {
  /** [m] slope length before, horizontal, from where runoff starts to where it gathers or drops its silt */
  lengthM: number;
  /** [m] slope length after, where banks now cut it; lengthM if not given */
  lengthAfterM?: number | null;
  /** [m] one standard deviation of each length; not known if not given */
  lengthPlusMinusM?: number | null;
  /** [%] slope of the ground, of 100 along */
  slopePct: number;
  /** [%] one standard deviation of the slope; not known if not given */
  slopePlusMinusPct?: number | null;
  /** what length and slope come from; unproven if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [%] ground cover before, at the end of the dry season */
  coverBeforePct: number;
  /** [%] one standard deviation, a quarter of the width between 95 % limits; not known if not given */
  coverBeforePlusMinusPct?: number | null;
  /** [%] ground cover after, at the same time of year */
  coverAfterPct: number;
  /** [%] one standard deviation; not known if not given */
  coverAfterPlusMinusPct?: number | null;
  /** printed cover factors that both covers are read off; pasture-set if not given */
  coverSeries?: "pasture-set" | "handbook-537-grass" | "handbook-537-weeds" | "epa-1977-grass" | null;
  /** how length and slope count; rusle if not given. It moves the ratio only where the length changed */
  formula?: "usle" | "rusle" | null;
  /** [MJ.mm/(har.h.a)] rainfall factor; with k, and the sources of both, it gives tonnes */
  r?: number | null;
  /** [MJ.mm/(har.h.a)] one standard deviation; not known if not given */
  rPlusMinus?: number | null;
  /** the map or table that r was read off, with its year */
  rSource?: string | null;
  /** [t.har.h/(har.MJ.mm)] soil factor; that of a table in US units times 0.1317 */
  k?: number | null;
  /** [t.har.h/(har.MJ.mm)] one standard deviation; not known if not given */
  kPlusMinus?: number | null;
  /** the map or table that k was read off, with its year */
  kSource?: string | null;
}

export interface Output {
  /** soil loss after over soil loss before, all else equal; below 1 is less */
  ratio: number;
  /** one standard deviation of the ratio; none when not known */
  plusMinus?: number;
  /** whether the covers differ by more than they scatter, 95 in 100 */
  verdict: "less loss" | "more loss" | "too close to tell" | "not known";
  /** the series both covers were read off */
  coverSeries: string;
  /** cover factor before */
  cBefore: number;
  /** one standard deviation; none when not known */
  cBeforePlusMinus?: number;
  /** cover factor after */
  cAfter: number;
  /** one standard deviation; none when not known */
  cAfterPlusMinus?: number;
  /** the formula of the topographic factor */
  formula: "usle" | "rusle";
  /** topographic factor before */
  lsBefore: number;
  /** one standard deviation; none when not known */
  lsBeforePlusMinus?: number;
  /** topographic factor after */
  lsAfter: number;
  /** one standard deviation; none when not known */
  lsAfterPlusMinus?: number;
  /** what the same covers give in the other series; never an average of them */
  others: Other[];
  /** only where r and k were given with their sources */
  tonnesPerHaYear?: TonnesPerHaYear;
  /** what length and slope come from */
  basis: string;
  /** the table and formula used */
  sources: string[];
  /** what the figures do not say */
  cautions: Caution[];
}

export interface Other {
  /** the series */
  coverSeries: string;
  /** loss after over loss before by that series */
  ratio: number;
  /** one standard deviation; none when not known */
  plusMinus?: number;
  /** where it is printed */
  source: string;
}

export interface TonnesPerHaYear {
  /** [t/(har.a)] long-run average before */
  before: number;
  /** [t/(har.a)] one standard deviation; none when not known */
  beforePlusMinus?: number;
  /** [t/(har.a)] long-run average after */
  after: number;
  /** [t/(har.a)] one standard deviation; none when not known */
  afterPlusMinus?: number;
  /** where r comes from */
  rSource: string;
  /** where k comes from */
  kSource: string;
}
