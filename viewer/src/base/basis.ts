// How a value came about, as model.Bases has it, best first, and the words of the officer's
// pages for it.

import type { Field } from "./kinds.ts";

export const bases = ["levelled", "taped", "GPS", "drawn on the map", "estimated", "from plan", "not recorded", "unproven"] as const;
export type Basis = (typeof bases)[number];

export const isBasis = (text: string): text is Basis => (bases as readonly string[]).includes(text);

export const basisWords: { readonly [basis in Basis]: string } = {
  levelled: "by level and staff",
  taped: "by tape",
  GPS: "by GPS",
  "drawn on the map": "drawn on the map",
  estimated: "estimated",
  "from plan": "from the plan",
  "not recorded": "how it was measured is not recorded",
  unproven: "not yet checked by a closed level run",
};

/** The answer that nobody knows how a value was measured. It is saved as nothing: not known is absent. */
export const notKnown = "not recorded";

/** What to say of a number that is to be saved with no word on how it came; undefined where there is one. */
export function unexplained(field: Field, how: string | undefined): string | undefined {
  return field.basis !== undefined && !how ? `Choose how the ${field.label.toLowerCase()} was measured` : undefined;
}
