// Whether it is said of a number how it came about: pure.

import type { Field } from "../app/kinds.ts";

/** The answer that nobody knows how a value was measured. It is saved as nothing: not known is absent. */
export const notKnown = "not recorded";

/** What to say of a number that is to be saved with no word on how it came; undefined where there is one. */
export function unexplained(field: Field, how: string | undefined): string | undefined {
  return field.basis !== undefined && !how ? `Choose how the ${field.label.toLowerCase()} was measured` : undefined;
}
