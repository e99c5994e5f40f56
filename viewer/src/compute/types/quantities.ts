// Written by go generate ./viewer/typing from the schemas of model/compute.

// quantities: what works take, priced at the officer's own rates, by treatment and property

import type { Input as Dam } from "./rock-dam.ts";
import type { Caution, Grade, Rate } from "./shared.ts";

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

export interface Batter {
  /** [m] of the wall, from toe to brink; at most 3 */
  heightM: number;
  /** present slope of the wall, 1 in so many; 0 upright */
  presentRunPerRise: number;
  /** the new slope, 1 in this */
  targetRunPerRise: number;
  /** [m] along the wall; not needed for a head alone */
  lengthM?: number | null;
  /** [m] of a half-round head, at its toe; added to the wall */
  headRadiusM?: number | null;
  /** [m] free bed before the wall, which a balance of cut and fill narrows; not known if not given */
  bedWidthM?: number | null;
  /** stiff clay, not dispersive; loam; under loose rock; under loose rock, planted; sandy or dispersive; or one of grades. Nothing is held against the target if not given */
  soil?: string | null;
  /** the local table, which goes before the one named there */
  grades?: Grade[] | null;
  /** [m] spread over the face, square to it; none if not given */
  topsoilDepthM?: number | null;
  /** the items are of the balance, upper half cut and filled before the lower, not of cutting all */
  balanced?: boolean | null;
  /** [m] one standard deviation of the length, where it was come by otherwise than the other sizes; accuracyM if not given */
  lengthPlusMinusM?: number | null;
  /** [m] one standard deviation of the height, of the run over that height, of the length and of the radius; not known if not given */
  accuracyM?: number | null;
  /** what the sizes come from; taped if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
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
