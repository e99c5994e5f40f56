// What came of works, and what is due for a look, as model/followup gives it.

import type { LeftOut, Named } from "./named.ts";
import type { Figure } from "./sheets.ts";

/** The years that count; absent: all. */
export interface Years {
  readonly from?: number;
  readonly to?: number;
}

export interface FollowUp {
  readonly on: string;
  readonly due: readonly Due[]; // the most urgent first
  readonly heads: readonly Head[];
  readonly edges: readonly Edge[];
  readonly silt: readonly Change[];
  readonly cover: readonly Change[];
  readonly held: readonly Held[];
  readonly ages: readonly Age[];
  readonly spent: Spending;
  readonly leftOut: readonly LeftOut[];
  readonly cautions: readonly { readonly text: string }[];
}

export type Noise = "yes" | "no" | "cannot tell"; // whether a change is more than measurement error

export interface Due extends Named {
  readonly since?: string;
  readonly reasons: readonly { readonly why: string; readonly text: string }[];
}

/** What changed between two days. */
interface Between {
  readonly from: string;
  readonly to: string;
  readonly rate?: Figure;
  readonly moreThanNoise: Noise;
}

export interface Retreat extends Between {
  readonly retreat: Figure;
}

export interface Growth extends Between {
  readonly growth: Figure;
}

/** A gully head: how far it cut back; or why that is not known. */
export interface Head extends Named {
  readonly since?: Retreat; // from the first visit that counts
  readonly last?: Retreat; // from the last visit but one
  readonly why?: string;
}

/** A gully's edge that was walked again. */
export interface Edge extends Named {
  readonly since?: Growth;
  readonly last?: Growth;
  readonly why?: string;
}

/** A measurement beside the one before it. */
export interface Change extends Named {
  readonly before: Reading;
  readonly after: Reading;
  readonly change: Figure;
  readonly moreThanNoise: Noise;
  readonly notes: readonly string[];
}

interface Reading extends Figure {
  readonly on: string;
}

/** How many works were found how. */
export interface Found {
  readonly sound: number;
  readonly healed: number;
  readonly needsWork: number;
  readonly failed: number;
}

export interface Held extends Found {
  readonly kind: string;
  readonly material?: string;
  readonly built: number; // also those that nobody judged
}

/** What works took to build, as recorded with each; a sum is of those that have it. */
export interface Spending {
  readonly kinds: readonly Spent[];
  readonly together: Spent;
  readonly undated: number; // left out of the years asked for
  readonly currency?: string;
}

export interface Spent {
  readonly kind?: string; // absent: all
  readonly built: number;
  readonly hours?: number;
  readonly timed: number; // works that have hours
  readonly cost?: number;
  readonly paid: number; // works that have a cost
}

export interface Age extends Found {
  readonly kind: string;
  readonly wetSeasons: number; // since they were built
}
