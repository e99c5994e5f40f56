// Written by go generate ./viewer/typing from the schemas of model/compute.

// scald: ponding banks by level, pits, gypsum and seed on a scald, and what they take

import type { Caution, Item, Rate, Sowing, Sown } from "./shared.ts";

export interface Input {
  /** [m2] of the scald, in plan */
  areaM2: number;
  /** [m2] one standard deviation; not known if not given */
  areaPlusMinusM2?: number | null;
  /** levels down or up the scald, square to its contours, from end to end; ponding needs them */
  ground?: Ground[] | null;
  /** a crumb of its subsoil clouds in still water; not tested if not given */
  dispersive?: boolean | null;
  /** what the levels come from: levelled if not given; only levelled ones can pass or fail a check */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [m] one standard deviation of a level; 0.005 for levelled ones, else not known */
  levelPlusMinusM?: number | null;
  /** [m] one standard deviation of a chainage; 0.05, a tape's, if not given; not known for positions */
  chainagePlusMinusM?: number | null;
  /** low banks that pond rain */
  ponding?: Ponding | null;
  /** pits broken into the surface */
  pitting?: Pitting | null;
  /** gypsum, by the officer's own table, or by what a laboratory found */
  gypsum?: Gypsum | null;
  /** seed, fertiliser and mulch, put on the whole area */
  sowing?: Sowing[] | null;
  /** your hours and costs, one for each item; what has none stays without */
  rates?: Rate[] | null;
}

export interface Ground {
  /** [m] along the levelled line; of a gully along the thalweg, from its downstream end; this or position */
  chainageM?: number | null;
  /** [deg] longitude and latitude, WGS84; chainages are then geodesic lengths from the first */
  position?: [number, number] | null;
  /** [m] level of the bed on the datum of the run */
  levelM: number;
}

export interface Ponding {
  /** [m] of water at a bank's toe when it spills at its ends; 0.1 is usual, 0.3 the most */
  pondDepthM: number;
  /** [m] of the settled crest above that water; 0.1 at the least */
  freeboardM: number;
  /** of both faces of a bank, 1 in this */
  faceRunPerRise: number;
  /** [m] of a bank; without it no earth is reckoned */
  crestBreadthM?: number | null;
  /** [m] of each bank along its contour; the area over the length of the ground, its mean width, if not given */
  bankLengthM?: number | null;
  /** [m] one standard deviation; not known if not given */
  bankLengthPlusMinusM?: number | null;
}

export interface Pitting {
  /** [m] of a pit, at the surface */
  lengthM: number;
  /** [m] of a pit, at the surface */
  widthM: number;
  /** [m] of a pit, in its middle */
  depthM: number;
  /** [m] from the middle of a pit to the next in its row */
  apartM: number;
  /** [m] from row to row */
  rowsApartM: number;
}

export interface Gypsum {
  /** of the soil, by test, as the table names it */
  dispersionClass?: string | null;
  /** the officer's local rates; none are built in */
  table?: Table[] | null;
  /** what a laboratory found, instead of class and table */
  sodium?: Sodium | null;
  /** who the table or the laboratory's sheet comes from */
  source: string;
}

export interface Table {
  /** its name */
  dispersionClass: string;
  /** [kg/har] gypsum on each hectare */
  kgHa: number;
}

export interface Sodium {
  /** [%] exchangeable sodium, of the cations */
  sodiumPct: number;
  /** [%] one standard deviation; not known if not given */
  sodiumPlusMinusPct?: number | null;
  /** [cmol/kg] cation exchange capacity */
  cationsCmolKg: number;
  /** [cmol/kg] one standard deviation; not known if not given */
  cationsPlusMinusCmolKg?: number | null;
  /** [%] exchangeable sodium that may stay */
  targetPct: number;
  /** [m] of the soil to mend, from the surface */
  depthM: number;
  /** [t/m3] of that soil, dry */
  densityTM3: number;
  /** for calcium that does not reach the clay; 1.1 to 1.3 by the source */
  factor: number;
  /** [%] of the gypsum as bought, dry */
  purityPct: number;
}

export interface Output {
  /** [%] of the ground, from end to end; none without levels */
  slopePct?: number;
  /** [%] one standard deviation; none when not known */
  slopePlusMinusPct?: number;
  /** from the lowest up; none without ponding */
  banks?: Bank[];
  /** number of banks; none without ponding */
  bankCount?: number;
  /** [m] of each bank, settled: pond and freeboard */
  bankHeightM?: number;
  /** [m] of each bank */
  bankLengthM?: number;
  /** [m] one standard deviation; none when not known */
  bankLengthPlusMinusM?: number;
  /** [m] of all banks */
  allBanksM?: number;
  /** [m] one standard deviation; none when not known */
  allBanksPlusMinusM?: number;
  /** [m3] held by all banks, full */
  pondedM3?: number;
  /** [m3] one standard deviation; none when not known */
  pondedPlusMinusM3?: number;
  /** number of pits; none without pitting */
  pits?: number;
  /** one standard deviation; none when not known */
  pitsPlusMinus?: number;
  /** [m3] held by all pits on the day they are dug */
  pitWaterM3?: number;
  /** [m3] one standard deviation; none when not known */
  pitWaterPlusMinusM3?: number;
  /** [kg/har] by the local table or the laboratory's sheet; none without gypsum */
  gypsumKgHa?: number;
  /** [kg/har] one standard deviation; none when not known */
  gypsumPlusMinusKgHa?: number;
  /** whose table, and for which dispersion class; or whose sheet */
  gypsumSource?: string;
  /** what is sown; none without sowing */
  sown?: Sown[];
  /** what it takes, as a list to be priced by the computation quantities */
  items: Item[];
  /** the same, with hours and cost at the rates */
  bill?: Bill;
  /** what the levels come from; none without levels */
  basis?: string;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Bank {
  /** [m] of its toe, as the levels were booked */
  chainageM: number;
  /** [m] of the contour to peg its toe at */
  groundLevelM: number;
  /** [m] of the pond when it spills at the ends */
  waterLevelM: number;
  /** [m] to build to, settled */
  crestLevelM: number;
  /** [%] of the ground under its pond */
  slopePct: number;
  /** [%] one standard deviation; none when not known */
  slopePlusMinusPct?: number;
  /** [m] how far up the slope the pond lies */
  pondReachM: number;
  /** [m3/m] held by a metre of bank */
  waterM3PerM: number;
  /** [m3/m] one standard deviation; none when not known */
  plusMinusM3PerM?: number;
}

export interface Bill {
  /** [h] of what has a rate for hours; none without */
  hours?: number;
  /** [h] one standard deviation from the quantities alone; none when not known */
  hoursPlusMinus?: number;
  /** of what has a rate for cost, in your currency; none without */
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
