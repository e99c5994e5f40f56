// What the computations work out about a property's features, as model/figures gives it.

import type { Basis } from "../base/basis.ts";
import type { Feature } from "../base/entry.ts";
import type { BaseChange } from "./named.ts";

export interface Figure {
  readonly name: string;
  readonly label: string;
  readonly value: number;
  readonly unit: string;
  readonly plusMinus?: number; // one standard deviation; absent when not known
  readonly basis: Basis;
  readonly rule: string;
}

export interface Check {
  readonly name: string;
  readonly verdict: "OK" | "fails" | "not levelled";
  readonly text: string;
  readonly rule: string;
}

/** What is worked out about a feature. */
export interface Sheet {
  readonly figures: readonly Figure[];
  readonly checks: readonly Check[];
  readonly cautions: readonly { readonly about?: string; readonly text: string }[];
}

/** A gully from its downstream end up; what is not known is absent. */
export interface LongSection {
  readonly thalweg: string;
  readonly name?: string;
  readonly lengthM: number;
  readonly bed: readonly { readonly chainageM: number; readonly levelM: number }[];
  readonly dams: readonly {
    readonly id: string;
    readonly name?: string;
    readonly status?: string;
    readonly chainageM: number;
    readonly chainageBasis: Basis;
    readonly toeLevelM?: number;
    readonly crestLevelM?: number;
    readonly basis: Basis;
    readonly disagrees?: boolean; // its toe is not where the levelled bed is, there
  }[];
  readonly pairs: readonly {
    readonly lower: string;
    readonly upper: string;
    readonly spacingM: number;
    readonly plusMinusM?: number;
    readonly stepM?: number;
    readonly verdict: string;
  }[];
  readonly proven: boolean;
  readonly notes: readonly string[];
  readonly bookedFromM?: number; // chainages were booked from the head down: what those up the gully are taken from
  readonly line?: { readonly atFirstM: number; readonly down?: boolean }; // where its line as drawn lies: the chainage of its first point, and whether they fall along it
  readonly zeroUnknown?: boolean; // somebody must say at which end of the line chainage 0 is
}

/** What of a gully lies below a level across it; each ± is one standard deviation, absent when not known. */
export interface AcrossFill {
  readonly levelM: number;
  readonly depthM: number;
  readonly depthPlusMinusM?: number;
  readonly widthM: number;
  readonly widthPlusMinusM?: number;
  readonly areaM2: number;
  readonly areaPlusMinusM2?: number;
}

/** A gully across its bed, from the left wall to the right, looking downstream. */
export interface CrossSection {
  readonly feature?: string; // absent for one that its chainage alone tells
  readonly name?: string;
  readonly thalweg?: string;
  readonly bookedM?: number; // its chainage as booked
  readonly run?: string; // the level run that has it
  readonly runName?: string;
  readonly observedOn?: string;
  readonly proven: boolean;
  readonly points: readonly { readonly offsetM: number; readonly levelM: number }[];
  readonly brink?: AcrossFill; // up to the lower of its two ends; absent where the notes say why
  readonly notches?: readonly (AcrossFill & { readonly dam: string; readonly name?: string; readonly planned?: boolean })[];
  readonly notes: readonly string[];
}

/** The figures of a property's features, worked out as the server does. */
export interface Sheets {
  of(property: string, features: readonly Feature[], id: string): Promise<Sheet | undefined>;
  /** The gullies that have something to draw, as figures.LongSection has them. */
  sections(property: string, features: readonly Feature[]): Promise<readonly LongSection[]>;
  /** The cross-sections that were levelled, as figures.CrossSection has them. */
  across(property: string, features: readonly Feature[]): Promise<readonly CrossSection[]>;
}

export interface SheetsAnswer {
  readonly sheets: { readonly [feature: string]: Sheet };
  readonly sections?: readonly LongSection[];
  readonly across?: readonly CrossSection[];
  readonly changed?: { readonly [plan: string]: readonly BaseChange[] };
}
