// Dates, counts and stages as a person says them. Pure: no page, no clock.

import { number } from "../base/number.ts";
import { monthNames } from "../base/words.ts";

export { number };

const noBreak = "\u00a0";

/** How far to trust what the page shows: on the page, and on paper below the map. */
export const accuracy =
  "± is one standard deviation: two times in three the true value is within it. Places and lengths by GPS may be several metres off; do not use them to find a boundary or a buried service. Heights and gaps in a long section come from level and staff; what is dashed there is not yet checked by a closed level run.";

/** "2026-11-25" as "25 November 2026"; anything else as it came. */
export function day(date: string): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  const month = parts && monthNames[Number(parts[2]) - 1];
  return parts && month ? `${Number(parts[3])}${noBreak}${month}${noBreak}${parts[1]}` : date;
}

/** What an item is called: its own name, or that it has none. */
export function called(label: string, name: string | undefined): string {
  return name?.trim() ? name.trim() : `${label}, unnamed`;
}

export function count(n: number, one: string, many: string): string {
  return `${number(n, 0)}${noBreak}${n === 1 ? one : many}`;
}
