// A value and its plus-minus as they are read together. Pure.

import { number } from "../section/number.ts";

/**
 * "9.0 ± 0.4", "790 ± 170": both end at the first digit of the plus-minus, at its second where
 * the first is a 1, and never beyond so many decimals.
 */
export function withDoubt(value: number, doubt: number, most = 3): string {
  const first = Math.floor(Math.log10(doubt)), leading = doubt / 10 ** first;
  const decimals = Math.min(most, (leading < 1.95 ? 1 : 0) - first);
  return `${number(value, decimals)} ± ${number(doubt, decimals)}`;
}
