// What was perhaps meant by a number that cannot be, or hardly: the same figure read off in
// centimetres or millimetres. Pure.

import { within } from "./check.ts";
import type { Field } from "../../base/kinds.ts";

export interface Meant {
  readonly text: string; // in metres, as it would be typed
  readonly words: string; // "35 cm"
}

const smaller = [
  { unit: "cm", of: 100 },
  { unit: "mm", of: 1000 },
] as const;

/** Nothing smaller is measured here. Common practice, no source. */
const leastM = 0.005;

/** The lengths that a typed number may have been meant as, of those that the field and the thing let pass. */
export function meantBy(field: Field, value: number, fits: (metres: number) => boolean = () => true): readonly Meant[] {
  if (field.unit !== "m") return [];
  return smaller.flatMap(({ unit, of }) => {
    const metres = Number((value / of).toPrecision(12));
    return metres >= leastM && within(field, metres) && fits(metres) ? [{ text: String(metres), words: `${value} ${unit}` }] : [];
  });
}
