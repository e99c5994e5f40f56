// Written by go generate ./viewer/typing from the schemas of model/compute.

// rock-dam: what a low porous dam takes to build: rock, netting and posts, brush or bales

import type { Bale, Brush, Caution, Fences, Item } from "./shared.ts";

export interface Input {
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

export interface Output {
  /** what the dam is built from */
  material: string;
  /** [m] from the bed to the shoulders */
  totalHeightM: number;
  /** [m] from bank to bank along the shoulders, keys not counted */
  shoulderLengthM: number;
  /** [m] along the stream over the lowest point of the bed */
  baseBreadthM: number;
  /** [m3] of the body before the notch is subtracted */
  fillM3: number;
  /** [m3] subtracted from the body */
  notchM3: number;
  /** [m3] rock in the body */
  rockM3: number;
  /** [m3] one standard deviation; none when not known */
  rockPlusMinusM3?: number;
  /** [m3] trench to dig; filled with rock or brush as the dam is */
  keyM3: number;
  /** [m3] one standard deviation; none when not known */
  keyPlusMinusM3?: number;
  /** [m3] rock below the toe */
  apronM3: number;
  /** [m3] one standard deviation; none when not known */
  apronPlusMinusM3?: number;
  /** [m] along the stream */
  apronLengthM: number;
  /** [m] across the stream */
  apronWidthM: number;
  /** [m] of the apron; 0 without one */
  apronThicknessM: number;
  /** [m3] rock lost and left over */
  wastageM3: number;
  /** [m3] body, key, apron and wastage: what to cart */
  totalRockM3: number;
  /** [m3] one standard deviation; none when not known */
  totalRockPlusMinusM3?: number;
  /** [t] of all rock; none without its bulk density */
  rockTonnes?: number;
  /** [m2] netting with its foot in the key and its overlap */
  netM2?: number;
  /** [m2] one standard deviation; none when not known */
  netPlusMinusM2?: number;
  /** in all fences */
  posts?: number;
  /** [m] of a post with what is in the ground */
  postLengthM?: number;
  /** wires between two fences */
  ties?: number;
  /** [m] wire for them, there and back */
  tieWireM?: number;
  /** [m3] brush as packed, in body and key; a loose heap is more */
  brushM3?: number;
  /** [m3] one standard deviation; none when not known */
  brushPlusMinusM3?: number;
  /** of brush; none without their size */
  bundles?: number;
  /** in two rows, or through the bales */
  stakes?: number;
  /** [m] of a stake of a row with what is in the ground */
  stakeLengthM?: number;
  /** in one row, those at the ends included */
  bales?: number;
  /** the same as a list to be priced by the computation quantities */
  items: Item[];
  /** whether each handbook that speaks of this kind would have it so high */
  heightRules: HeightRule[];
  /** smallest and largest stone that handbooks build low dams of at any flow, not the median that this flow asks for: where the two differ the larger applies; none for brush and bales */
  stoneSizes: StoneSize[];
  /** [mm] median stone of the downstream face by the flow at the face's own slope, a factor of 1.2 included; none without a flow, and on an upright face */
  faceStoneMM?: number;
  /** which rule sized it */
  faceStoneRule?: "rock chute" | "steep rock chute" | "foot of the fall";
  /** [mm] median stone of the apron: that of the face, carried on, or where the face is upright by the speed at the foot of the fall; a factor of 1.2 included; none without a flow */
  apronStoneMM?: number;
  /** which rule sized it */
  apronStoneRule?: "rock chute" | "steep rock chute" | "foot of the fall";
  /** what the figures come from */
  basis: string;
  /** what to watch for on the ground */
  cautions: Caution[];
}

export interface HeightRule {
  /** its name */
  rule: string;
  /** [m] highest notch above the bed */
  maxM: number;
  /** whether the dam is no higher */
  within: boolean;
  /** where it comes from */
  source: string;
}

export interface StoneSize {
  /** [mm] smallest stone */
  minMM: number;
  /** [mm] largest stone; none named if missing */
  maxMM?: number;
  /** in words */
  advice: string;
  /** who advises it */
  source: string;
}
