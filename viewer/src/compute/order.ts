// In which order to go about the eroding places of a property, as model/planning gives it.

import type { Spending } from "./followup.ts";
import type { LeftOut, Named } from "./named.ts";
import type { Figure } from "./sheets.ts";

export interface Order {
  readonly on: string;
  readonly rule: string; // whose order it is
  readonly places: readonly Place[];
  readonly proposed: readonly Proposed[];
  readonly spent: Spending; // on what was built
  readonly bill?: Bill; // of all that is proposed; none without rates
  readonly noRates?: string; // why there is none
  readonly currency?: string;
  readonly leftOut: readonly LeftOut[];
  readonly cautions: readonly { readonly text: string }[];
}

export type Step = "prevention" | "water" | "grass" | "structures";

/** An eroding place, or what sends water to one. */
export interface Place extends Named {
  readonly step: Step;
  readonly why: readonly string[];
  readonly first: readonly string[]; // what to do, in the trade's order
  readonly works: readonly { readonly kind: string; readonly status: string; readonly count: number }[];
  readonly record: readonly string[]; // what is not known, and what to record
}

/** The works of a kind that are planned and not built. */
export interface Proposed {
  readonly kind: string;
  readonly proposed: number;
  readonly pegged: number;
  readonly figures: readonly Figure[]; // their lengths or areas together
  readonly takes: readonly { readonly what: string; readonly amount: number }[];
  readonly without: number; // works of which no plan says what they take
  readonly bill?: Bill;
}

/** What works come to at the property's rates, as far as that is known. */
export interface Bill {
  readonly works: number;
  readonly hours?: number;
  readonly noHours: number; // works of which the hours are not known, or not in full
  readonly cost?: number;
  readonly noCost: number;
}
