// Works planned from what is recorded of a property, as model/planning gives them.

import type { Feature, Fields } from "../base/entry.ts";
import type { FollowUp, Years } from "./followup.ts";
import type { BaseChange, Named } from "./named.ts";
import type { Order } from "./order.ts";

export type Purpose = "dams" | "whoa-boys" | "peak-flow" | "forage" | "banks" | "rip-lines" | "windrows";

/** What is to be planned. */
export interface PlanRequest {
  readonly of: string; // id or name of the gully, the track or the gully head
  readonly plans: Purpose;
  readonly run?: string; // the level run to use, also one that does not close; else the newest that closes
  readonly zeroAt?: "start of the line" | "end of the line"; // where a track's chainages begin
  readonly given?: Fields; // fields of the computation's input besides what is recorded
  readonly compare?: { readonly [field: string]: readonly unknown[] }; // values of one field, each planned by itself; none is adopted
}

/** What a plan comes to. */
export interface Outcome {
  readonly plans: Purpose;
  readonly of: Named;
  readonly computation: string;
  readonly refused: readonly string[]; // why there is no answer, and what to do
  readonly missing: readonly string[]; // what to measure
  readonly leftOut: readonly (Named & { readonly on?: string; readonly why: string })[];
  readonly used: readonly (Named & { readonly version: string; readonly on?: string; readonly what: string })[];
  readonly others: readonly (Named & { readonly on?: string; readonly levels: number; readonly fromM: number; readonly toM: number })[]; // level runs to use instead
  readonly currency?: string; // what its costs are in, by ISO 4217; none where nobody recorded it
  readonly answer?: unknown; // of the computation, as Types has it; none where values are compared
  readonly says: readonly string[]; // where the answer does not meet the works that stand
  readonly beside?: readonly Beside[]; // of each value that is compared; the rest is that of the first which has an answer
  readonly adoption?: Adoption;
}

/** What comes of one of several values that are compared. */
export interface Beside {
  readonly value: unknown;
  readonly count?: number; // of works; none where it is refused, or no works are laid out
  readonly lowestM?: number; // chainages
  readonly highestM?: number;
  readonly heightM?: number;
  readonly hours?: number; // by the property's rates; none without
  readonly cost?: number;
  readonly answer?: unknown; // where no works are laid out
  readonly says: readonly string[];
  readonly refused: readonly string[];
}

/** What is to be written down of an answer. */
export interface Adoption {
  readonly plan: string; // id of the feature that holds the plan
  readonly changes: readonly Change[];
  readonly known: number; // works of the plan that are there already
  readonly says: readonly string[];
}

/** A feature to be made, or fields of one to be edited. */
export interface Change extends Named {
  readonly new?: true;
  readonly fields: Fields;
}

export interface Plans {
  /**
   * Plans works, as the server does; features are all of the property, struck ones too. With the day of
   * the officer's calendar the outcome has what adopting it writes down. Rejects with Problem, also where the answer cannot be
   * adopted: that of a sketch is to be had without a day.
   */
  plan(property: string, features: readonly Feature[], request: PlanRequest, today?: string): Promise<Outcome>;
  /** What to do first on the property, by the officer's calendar. Rejects with Problem, as the others. */
  order(property: string, features: readonly Feature[], today: string): Promise<Order>;
  /** What came of the works in these years, and what is due for a look. */
  followUp(property: string, features: readonly Feature[], today: string, years?: Years): Promise<FollowUp>;
  /** By adopted plan, what it rests on and is another since; those that nothing became of are not among them. */
  changed(property: string, features: readonly Feature[]): Promise<{ readonly [plan: string]: readonly BaseChange[] }>;
}
