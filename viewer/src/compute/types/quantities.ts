// Written by go generate ./viewer/typing from the schemas of model/compute.

// quantities: what works take, priced at the officer's own rates, by treatment and property

import type { Input as Dam } from "./rock-dam.ts";
import type { Input as Batter } from "./batter.ts";
import type { Caution, Rate } from "./shared.ts";

export interface Input {
  /** the works to build; each takes items, a dam, a batter, sowing, or several of these */
  works: Work[];
  /** the officer's own, one for each item; what has none stays without a cost */
  rates?: Rate[] | null;
  /** what costs are in, in the officer's words */
  currency?: string | null;
}

export interface Work {
  /** what the work is called; its place in the list if not given */
  name?: string | null;
  /** what it is put under */
  treatment: "check-dam" | "whoa-boy" | "rip-line" | "windrow" | "batter" | "revegetation" | "exclosure" | "rock-faced-head" | "earth-plug" | "brush-fill" | "diversion-bank" | "contour-bank" | "ponding-bank" | "pitting" | "gypsum" | "fence" | "track" | "other";
  /** on which property, for sums by property */
  property?: string | null;
  /** as many alike; one if not given */
  count?: number | null;
  /** what each takes */
  items?: Item[] | null;
  /** a dam, as for the computation rock-dam, whose items are taken */
  dam?: Dam | null;
  /** a batter, as for the computation batter, whose items are taken */
  batter?: Batter | null;
  /** seed, fertiliser, gypsum and mulch */
  sowing?: Sowing[] | null;
}

export interface Item {
  /** what is counted, as the rates name it */
  item: string;
  /** in which unit */
  unit: "m" | "km" | "m2" | "ha" | "m3" | "kg" | "t" | "each" | "h";
  /** how much of it */
  quantity: number;
  /** one standard deviation in the same unit; not known if not given */
  plusMinus?: number | null;
  /** [t/m3] of what is counted in m3: a rate for each t then does; not known if not given */
  bulkDensityTM3?: number | null;
}

export interface Sowing {
  /** the seed, or what is spread */
  item: string;
  /** [m2] in plan */
  areaM2: number;
  /** [m2] one standard deviation; not known if not given */
  areaPlusMinusM2?: number | null;
  /** how much on each hectare or acre; of seed, drilled and pure live unless method and shares are left out */
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

export interface Output {
  /** every quantity, work by work */
  rows: Row[];
  /** sums of each treatment */
  treatments: Treatment[];
  /** sums of each property */
  properties: Treatment[];
  /** sum of all */
  total: Treatment;
  /** what costs are in, in the officer's words */
  currency?: string;
  /** what the sums do not say */
  cautions: Caution[];
}

export interface Row {
  /** what the work is called */
  work: string;
  /** what it is put under */
  treatment: string;
  /** where the water is */
  property?: string;
  /** what is counted */
  item: string;
  /** how much of it */
  quantity: number;
  /** in which unit */
  unit: string;
  /** one standard deviation in the same unit; none when not known */
  plusMinus?: number;
  /** [h] of work; none without a rate */
  hours?: number;
  /** [h] one standard deviation, the rate taken as exact; none when not known */
  hoursPlusMinus?: number;
  /** in currency; none without a rate */
  cost?: number;
  /** one standard deviation, the rate taken as exact; none when not known */
  costPlusMinus?: number;
  /** which rate is missing */
  note?: string;
}

export interface Treatment {
  /** the treatment or property; none for one that was not named, and for all */
  of?: string;
  /** [h] of the rows that have hours; none when no row has */
  hours?: number;
  /** [h] one standard deviation; none when not known */
  hoursPlusMinus?: number;
  /** rows without hours: if any, the sum is the least it can be */
  hoursMissing: number;
  /** in currency, of the rows that have a cost; none when no row has */
  cost?: number;
  /** one standard deviation; none when not known */
  costPlusMinus?: number;
  /** rows without a cost: if any, the sum is the least it can be */
  costMissing: number;
}
