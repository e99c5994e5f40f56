// Written by go generate ./viewer/typing from the schemas of model/compute.

// rip-area: length, spacing and treated area of rip lines, and the water they hold

import type { Caution } from "./shared.ts";

export interface Input {
  /** [deg] each rip, pass by pass, as longitude and latitude of its positions, WGS84; in any order */
  lines: [number, number][][];
  /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
  accuracyM?: number | null;
  /** how the positions came about; GPS if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
  /** [%] slope of the ground, square to the lines */
  groundSlopePct?: number | null;
  /** [%] one standard deviation of groundSlopePct; taken as right if not given */
  slopePlusMinusPct?: number | null;
  /** whose limit of slope applies; the stricter, dry rangeland, if not given */
  slopeRule?: "dry rangeland, under 15 %" | "grazing land, under 30 %" | null;
  /** what a test of the subsoil showed */
  subsoil?: "dispersive" | "not dispersive" | "not tested" | null;
  /** why a dispersive subsoil is to be ripped anyway */
  overrideReason?: string | null;
  /** the verdict of contour-check; between banks for lines parallel to surveyed banks */
  contour?: "OK" | "fails" | "not levelled" | "between banks" | null;
  /** the bank or furrow lip that ponds water on the slope above; needs groundSlopePct */
  lip?: Lip | null;
  /** the open rip, as it is on the day it is cut */
  slot?: Slot | null;
}

export interface Lip {
  /** [m] depth of water at its toe when it is full; from 0.01 to 1 */
  heightM: number;
  /** [m] one standard deviation of heightM; taken as right if not given */
  heightPlusMinusM?: number | null;
  /** run of its upslope face for each metre of rise; 0, upright, if not given */
  faceRunPerRise?: number | null;
}

export interface Slot {
  /** [m] width at the ground */
  topWidthM: number;
  /** [m] one standard deviation of topWidthM; taken as right if not given */
  widthPlusMinusM?: number | null;
  /** [m] depth that stands open */
  depthM: number;
  /** [m] one standard deviation of depthM; taken as right if not given */
  depthPlusMinusM?: number | null;
  /** its cross-section; a triangle, as a tine leaves it, if not given */
  shape?: "triangle" | "box" | null;
}

export interface Output {
  /** [m] of all lines together */
  lengthM: number;
  /** [m] one standard deviation of lengthM; none without an accuracy */
  plusMinusM?: number;
  /** [m] between neighbouring lines, square to them all along; none when no line has a neighbour */
  spacingM?: SpacingM;
  /** [m2] treated: length times spacing, place by place; none when no line has a neighbour */
  areaM2?: number;
  /** [m2] one standard deviation of areaM2; none without an accuracy */
  plusMinusM2?: number;
  /** [m] length of line that has no neighbour on either side */
  aloneM: number;
  /** neighbouring lines, and how far apart they are over the part along which they face each other */
  pairs: Pair[];
  /** [m3] on the day of ripping, by lines that are level; none without lip or slot */
  waterHeldM3?: number;
  /** what that is made of */
  water?: Water;
  /** the limit that the ground's slope was held to; none without groundSlopePct */
  slope?: Slope;
  /** whether the lines may be ripped for all that is known of their contour; none without contour */
  contour?: Contour;
  /** what the figures come from */
  basis: string;
  /** what is odd about the lines */
  cautions: Caution[];
}

export interface SpacingM {
  /** [m] the narrowest place */
  min: number;
  /** [m] over all places that have a neighbour */
  mean: number;
  /** [m] the widest place */
  max: number;
  /** [m] one standard deviation of min and max; none without an accuracy */
  plusMinusM?: number;
  /** [m] one standard deviation of mean; none without an accuracy */
  meanPlusMinusM?: number;
  /** where it is narrowest */
  minAt: MinAt;
  /** where it is widest */
  maxAt: MinAt;
}

export interface MinAt {
  /** number of the line on which it is, counted from 1 */
  line: number;
  /** number of the line it looks at */
  otherLine: number;
  /** [deg] longitude and latitude on the first, WGS84 */
  position: [number, number];
  /** [m] from there to the other, square to the first */
  spacingM: number;
  /** [m] one standard deviation of spacingM; none without an accuracy */
  plusMinusM?: number;
}

export interface Pair {
  /** numbers of the two lines, counted from 1 */
  lines: [number, number];
  /** [m] how much of each has the other for its neighbour */
  facingM: [number, number];
  /** [%] the same, of its length: less than 100 where it reaches past the other, or a third comes between */
  sharePct: [number, number];
  /** [m] the narrowest place */
  min: number;
  /** [m] over all places where they face */
  mean: number;
  /** [m] the widest place */
  max: number;
  /** [m] one standard deviation of mean; none without an accuracy */
  meanPlusMinusM?: number;
  /** where it is narrowest */
  minAt: MinAt;
  /** where it is widest */
  maxAt: MinAt;
}

export interface Water {
  /** [m3/m] behind a metre of level lip */
  pondM3PerM?: number;
  /** [m3/m] one standard deviation of it, for what was given of the lip */
  pondPlusMinusM3PerM?: number;
  /** [m] how far up the slope the pond would reach if no line stood there */
  backwaterM?: number;
  /** [m] one standard deviation of it */
  backwaterPlusMinusM?: number;
  /** [m3/m] in a metre of open rip */
  slotM3PerM?: number;
  /** [m3/m] one standard deviation of it, for what was given of the slot */
  slotPlusMinusM3PerM?: number;
  /** [m3/m] both together */
  m3PerM: number;
  /** [m3/m] one standard deviation of it */
  plusMinusM3PerM?: number;
  /** [m3] by all lines */
  totalM3: number;
  /** [m3] one standard deviation of it; none without an accuracy of the positions */
  totalPlusMinusM3?: number;
  /** [m3/har] over the treated area; none when there is none */
  perHaM3?: number;
  /** [mm] the same as a depth of rain */
  depthMm?: number;
  /** [mm] one standard deviation of it; none without an accuracy of the positions */
  depthPlusMinusMm?: number;
}

export interface Slope {
  /** the rule used */
  rule: string;
  /** [%] the ground is flatter than this */
  limitPct: number;
}

export interface Contour {
  /** as given */
  state: "OK" | "fails" | "not levelled" | "between banks";
  /** whether the lines may be ripped */
  mayRip: boolean;
  /** whether a level has shown it */
  proven: boolean;
  /** the same in a sentence */
  text: string;
}
