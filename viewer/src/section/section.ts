// A gully seen from the side: its bed, and the dams that stand on it.

import type { Basis } from "../base/basis.ts";

export type { Basis };

export interface SectionDam {
  id: string;
  name?: string;
  status?: string;
  chainageM: number;
  plusMinusM?: number | undefined; // of the chainage; absent when not known
  toeLevelM?: number | undefined;
  crestLevelM?: number | undefined;
  /** As measured by hand, else as planned, for dams that were not levelled. */
  heightM?: number | undefined;
  /** Nobody measured that height: it is the one planned when the dam was pegged. */
  heightPlanned?: boolean | undefined;
  basis: Basis;
  /** Its toe is not where the levelled bed is, there: its level or its place is wrong. */
  disagrees?: boolean | undefined;
}

export interface SectionPair {
  lower: string;
  upper: string;
  spacingM: number;
  plusMinusM?: number | undefined; // absent when not known
  /** Upper toe less lower crest; absent when it was not levelled. */
  stepM?: number | undefined;
  verdict: string;
  /** Where the bed between the two stands above the lower crest and the upper toe; absent where it does not. */
  hump?: { chainageM: number; aboveM: number } | undefined;
}

export interface Section {
  thalweg: string;
  name?: string;
  lengthM: number;
  proven: boolean;
  bed: { chainageM: number; levelM: number }[];
  dams: SectionDam[];
  pairs: SectionPair[];
  notes: string[];
}
