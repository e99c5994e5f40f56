// Numbers, dates and outcomes as a person says them. Pure: no page, no clock.

import { number } from "../section/number.ts";
import { unitInWords } from "../land/unit.ts";
import type { Basis, Figure, Status } from "./land.ts";

export { shortened } from "../land/item.ts";
export { number };

const noBreak = "\u00a0";

/** Decimals that a value known to within plusMinus deserves; -2 is to the nearest hundred. */
export function decimalsFor(value: number, plusMinus: number | undefined): number {
  if (plusMinus !== undefined && plusMinus > 0) {
    return Math.min(3, -Math.floor(Math.log10(plusMinus)));
  }
  const size = Math.abs(value);
  return size < 10 ? 2 : size < 100 ? 1 : 0;
}

function withUnit(text: string, unit: string): string {
  const words = unitInWords(unit);
  return words === "" || words === "°" ? text + words : text + noBreak + words;
}

/** A figure in the unit a landholder uses: large areas in hectares, long ways in kilometres. */
function inUsualUnit(f: Figure): Figure {
  const size = Math.abs(f.value);
  if (f.unit === "m2" && size >= 10000) return { ...f, unit: "har", value: f.value / 10000, ...(f.plusMinus !== undefined && { plusMinus: f.plusMinus / 10000 }) };
  if (f.unit === "m" && size >= 10000) return { ...f, unit: "km", value: f.value / 1000, ...(f.plusMinus !== undefined && { plusMinus: f.plusMinus / 1000 }) };
  return f;
}

/** "9.0 m", then "give or take 0.4 m" apart, so that the page can set it smaller. */
export function figureWords(figure: Figure): { value: string; giveOrTake: string; how: string } {
  const f = inUsualUnit(figure);
  const decimals = decimalsFor(f.value, f.plusMinus);
  const value = withUnit(number(f.value, decimals), f.unit);
  let giveOrTake = "";
  if (f.plusMinus) giveOrTake = `give or take ${withUnit(number(f.plusMinus, decimals), f.unit)}`;
  if (f.plusMinus === undefined) giveOrTake = "how close is not known";
  return { value, giveOrTake, how: basisWords[f.basis] ?? "" };
}

/** Whether a figure is so rough that it must not be relied on. */
export function tooRough(f: Figure): boolean {
  return (f.plusMinus ?? 0) > 0 && f.plusMinus! >= Math.abs(f.value) / 2;
}

export const basisWords: Record<Basis, string> = {
  levelled: "measured with level and staff",
  taped: "measured with a tape",
  GPS: "measured by satellite (GPS)",
  "drawn on the map": "drawn on the map",
  estimated: "estimated by eye",
  "from plan": "as planned, not measured",
  "not recorded": "how it was measured is not recorded",
  unproven: "not proven",
};

export const statusWords: Record<Status, string> = {
  proposed: "Proposed",
  pegged: "Pegged",
  built: "Built",
  failed: "Failed",
  removed: "Removed",
  unsaid: "Not said",
};

const verdicts: Record<string, string> = {
  holds: "Holds",
  fails: "Needs attention",
  "not levelled": "Not levelled",
};

export function verdictWords(verdict: string): string {
  return verdicts[verdict] ?? verdict;
}

const months = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/** "2026-11-25" as "25 November 2026"; anything else as it came. */
export function day(date: string): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  const month = parts && months[Number(parts[2]) - 1];
  return parts && month ? `${Number(parts[3])}${noBreak}${month}${noBreak}${parts[1]}` : date;
}

/** What a thing is called: its own name, or that it has none. */
export function called(label: string, name: string | undefined): string {
  return name?.trim() ? name.trim() : `${label} without a name`;
}

export function count(n: number, one: string, many: string): string {
  return `${number(n, 0)}${noBreak}${n === 1 ? one : many}`;
}
