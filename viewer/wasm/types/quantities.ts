// Written by go generate ./viewer/typing from the schemas of model/compute.

// quantities: what works take, priced at the officer's own rates, by treatment and property

import type { Bale, Brush, Caution, Fences, Grade, Rate } from "./shared.ts";

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
  treatment: "check-dam" | "whoa-boy" | "rip-line" | "windrow" | "batter" | "revegetation" | "exclosure" | "rock-faced-head" | "earth-plug" | "brush-fill" | "diversion-bank" | "ponding-bank" | "pitting" | "gypsum" | "fence" | "track" | "other";
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

export interface Dam {
  /** what the dam is built from; loose rock if not given */
  material?: "loose rock" | "netting and posts" | "brushwood" | "hay bales" | null;
  /** [m] from the bed at the downstream toe to the notch; usually 0.3 to 0.5, at most 1 */
  crestHeightM: number;
  /** [m] the gully across the dam as offset and level of each point, from the left bank to the right; this or bedWidthM with the banks */
  section?: [number, number][] | null;
  /** [m] width of the bed */
  bedWidthM?: number | null;
  /** slope of the left bank, 1 in this; upright if not given */
  leftRunPerRise?: number | null;
  /** slope of the right bank, 1 in this; upright if not given */
  rightRunPerRise?: number | null;
  /** [%] slope of the bed going upstream; taken as level if not given, which counts too much rock */
  bedSlopePct?: number | null;
  /** [m] along the stream, at the shoulders, from 0.2 m; hay bales and rock behind one fence do without; between two fences or two rows of stakes, from one to the other */
  crestBreadthM?: number | null;
  /** slope of the upstream face, 1 in this; loose rock needs it, and others are upright if not given */
  upstreamRunPerRise?: number | null;
  /** slope of the downstream face, 1 in this; loose rock needs it, and others are upright if not given */
  downstreamRunPerRise?: number | null;
  /** [m] from the shoulders down to the lowest part of the crest; no notch if not given */
  notchDepthM?: number | null;
  /** [m] of the notch, across the gully */
  notchLengthM?: number | null;
  /** [m] of the trench that lets the dam into bed and banks, plumb; none if not given */
  keyDepthM?: number | null;
  /** [m] of the trench, along the stream */
  keyWidthM?: number | null;
  /** [m] of the trench beyond the shoulders, into each bank */
  keyIntoBankM?: number | null;
  /** how steeply the stone lies, and whose rule; the steepest of them all bounds the faces if not given */
  stone?: "very angular" | "slightly angular" | "moderately rounded" | "angular, by Heede" | "rounded" | "round, by Heede" | "any, by county manuals" | null;
  /** whose limit for the height to keep to; 1 m is the limit of all */
  heightRule?: "Jepson" | "Australian fact sheets" | "STEP" | "Wisconsin DNR" | "FAO" | null;
  /** how far rock is laid below the toe, and whose rule; Heede if not given */
  apronRule?: "Heede" | "2 m of large stone" | "none" | null;
  /** [m] of the apron along the stream; by the rule if not given */
  apronLengthM?: number | null;
  /** [m] of the apron across; that of the bed, or of the notch if longer, if not given */
  apronWidthM?: number | null;
  /** [m] of the apron; twice its median stone, where a flow sizes it, and 0.3 at least if not given */
  apronThicknessM?: number | null;
  /** [%] rock lost and left over, of all rock; none if not given */
  wastagePct?: number | null;
  /** [t/m3] of rock as it lies in the dam; no tonnes if not given */
  bulkDensityTM3?: number | null;
  /** [har] above the dam; bounds where bales may stand */
  catchmentHa?: number | null;
  /** [m3/s] over the notch, to size the stone of the face and the apron by; not sized if not given */
  flowM3S?: number | null;
  /** of a dam of netting and posts */
  fences?: Fences | null;
  /** of a dam of brushwood */
  brush?: Brush | null;
  /** of a dam of hay bales, which needs it */
  bale?: Bale | null;
  /** [m] one standard deviation of each size and offset given; not known if not given */
  accuracyM?: number | null;
  /** what the sizes of the gully come from; taped if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
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
