// How a value came about, as model.Bases has it, best first, and the words of the officer's
// pages for it.

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
