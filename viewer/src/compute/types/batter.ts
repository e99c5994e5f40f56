// Written by go generate ./viewer/typing from the schemas of model/compute.

// batter: earth to cut, ground taken and face to cover where a gully wall or head is laid back

import type { Caution, Grade, Item, Rate, Sowing, Sown } from "./shared.ts";

export interface Input {
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
  /** seed, fertiliser, gypsum and mulch, put on the new batter in plan */
  sowing?: Sowing[] | null;
  /** your hours and costs, one for each item; what has none stays without */
  rates?: Rate[] | null;
}

export interface Output {
  /** [m3] with the toe where it is and all of it cut; as it lies, not bulked */
  cutM3: number;
  /** [m3] one standard deviation; none when not known */
  cutPlusMinusM3?: number;
  /** [m] the brink moves back so far */
  widthM: number;
  /** [m] one standard deviation; none when not known */
  widthPlusMinusM?: number;
  /** [m2] of the new batter in plan, toe to brink */
  areaM2: number;
  /** [m2] one standard deviation; none when not known */
  areaPlusMinusM2?: number;
  /** [m2] of that, beyond the present brink */
  landM2: number;
  /** [m2] one standard deviation; none when not known */
  landPlusMinusM2?: number;
  /** [m] up the slope, toe to brink */
  faceLengthM: number;
  /** [deg] from level */
  faceDeg: number;
  /** [m2] measured on the slope: to spread topsoil and net over */
  faceM2: number;
  /** [m2] one standard deviation; none when not known */
  facePlusMinusM2?: number;
  /** [m3] none without its depth */
  topsoilM3?: number;
  /** [m3] one standard deviation, the depth taken as exact; none when not known */
  topsoilPlusMinusM3?: number;
  /** the other way, upper half cut and filled before the lower; none for a head, or where the bed is too narrow */
  balanced?: Balanced;
  /** how steep each soil of the named table may be, and whether the target is no steeper */
  soils: Soil[];
  /** of cutting all, or of cut and fill where balanced was asked for, and of what is sown, as a list to be priced by the computation quantities */
  items: Item[];
  /** what the new batter takes; none without sowing */
  sown?: Sown[];
  /** all that is taken, at the rates; none without sowing or rates */
  bill?: Bill;
  /** what the figures come from */
  basis: string;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface Balanced {
  /** [m3] and as much fill, no bulking reckoned */
  cutM3: number;
  /** [m3] one standard deviation; none when not known */
  cutPlusMinusM3?: number;
  /** [m] the brink moves back, and the toe forward, so far */
  widthM: number;
  /** [m] one standard deviation; none when not known */
  widthPlusMinusM?: number;
}

export interface Soil {
  /** its name */
  soil: string;
  /** the steepest allowed is 1 in this */
  leastRunPerRise: number;
  /** the other end of what is usual; absent where the source gives none */
  flattestRunPerRise?: number;
  /** whether the target is no steeper */
  allows: boolean;
  /** where it comes from */
  source: string;
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
