// Chainages that can hardly be meant: 40 and then 4500, where a point was missed. They are
// asked about, never refused. Pure.

import { rounded } from "../../base/number.ts";
import type { Row, Spot } from "./row.ts";

/** The chainages booked of a thing so far, in the order of the book. */
export const chainagesOf = (rows: readonly Row[], feature: string, spot?: Spot): readonly number[] =>
  rows.flatMap((r) =>
    !r.struck && r.feature === feature && (spot === undefined || r.spot === spot) && r.chainageM !== undefined ? [r.chainageM] : [],
  );

// How far a chainage may go on from the last without a question: common practice, no source.
const usualTimes = 6; // as many times the longest step so far
const leastM = 50; // no step below is absurd, whatever the pace was
const firstStepM = 200; // two sights of 100 m, where no pace is known yet
const firstM = 1000; // for the first chainage of all

/** What to ask of a chainage that jumps absurdly from those before it; undefined for one that does not. */
export function jumpQuestion(before: readonly number[], to: number): string | undefined {
  const last = before[before.length - 1];
  if (last === undefined) return to > firstM ? `${to} m for the first chainage?` : undefined;
  const steps = before.slice(1).map((m, i) => Math.abs(m - before[i]!));
  const most = steps.length === 0 ? firstStepM : Math.max(leastM, usualTimes * Math.max(...steps));
  const step = Math.abs(to - last);
  if (step <= most) return undefined;
  return `The last was ${last} m. ${to} m is ${rounded(step, 3)} m ${to > last ? "farther" : "back"}: is it right?`;
}

/** The same of a chainage that has none before it. */
export const firstQuestion = (m: number | undefined): string | undefined => (m === undefined ? undefined : jumpQuestion([], m));

/** The same of a single distance, taped from the last thing to the next. */
export const stepQuestion = (m: number | undefined): string | undefined =>
  m !== undefined && m > firstStepM ? `${m} m from the last one?` : undefined;

// A tape in a bed runs longer than the line on a map: common practice, no source.
const tapeTimes = 1.2;
const tapeM = 5;

/** What to ask of a chainage beyond the end of the line that was recorded; undefined for one on it. */
export function beyondQuestion(m: number | undefined, lengthM: number | undefined, name: string): string | undefined {
  if (m === undefined || lengthM === undefined || m <= tapeTimes * lengthM + tapeM) return undefined;
  return `${name} was recorded ${Math.round(lengthM)} m long. Chainage ${m} m is beyond its end: is it right?`;
}
