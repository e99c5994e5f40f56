// Ground cover as the computation "cover" of package model gives it, and its words. Pure.

import type { Types } from "../../compute/types/index.ts";
import { numberOf, type Feature } from "../../base/entry.ts";
import { hits, isEmpty, type Count } from "./steppoints.ts";
import { otherMonths, type Seasons } from "./season.ts";

export type CoverInput = Types["cover"]["input"];
export type Cover = Types["cover"]["output"];

/** The published thresholds, which answer different questions: none is a default. */
export const targets = [
  { value: "runoff-50", label: "50 %", why: "above it runoff and erosion are small" },
  { value: "soil-loss-70", label: "70 %", why: "above it soil loss is a tenth of bare ground's" },
  { value: "sediment-75", label: "75 %", why: "above it sediment loss falls most" },
] as const;

export function coverInput(count: Count, today: string, seasons: Seasons): CoverInput | undefined {
  if (isEmpty(count)) return undefined;
  const target = targets.find((t) => t.value === seasons.target)?.value;
  return {
    ...(count.way === "points"
      ? { points: { hits: hits(count), total: count.points.length } }
      : { plots: count.plotsPct.map((coverPct) => ({ coverPct })) }),
    ...(target ? { target } : {}),
    date: today,
    ...(seasons.wet ? { drySeason: otherMonths(seasons.wet) } : {}),
  };
}

/** By visits at which cover was counted, its range in words. */
export type CoverRanges = ReadonlyMap<string, string>;
export const noRanges: CoverRanges = new Map();

/** What was counted at a saved visit, to have its range again; undefined where nothing was. */
export function recounted(visit: Feature): CoverInput | undefined {
  const hits = numberOf(visit, "coverHits"),
    total = numberOf(visit, "coverPoints"),
    plots = visit.fields["coverPlotsPct"];
  if (hits !== undefined && total !== undefined) return { points: { hits, total } };
  return Array.isArray(plots) && plots.every((pct) => typeof pct === "number")
    ? { plots: plots.map((coverPct: number) => ({ coverPct })) }
    : undefined;
}

const whole = (pct: number): string => `${Math.round(pct)} %`;

export function coverWords(c: Cover): { pct: string; limits: string; target: string } {
  const target = {
    yes: "Meets the target: even the low end reaches it.",
    no: "Misses the target: even the high end is below it.",
    "cannot tell": "Too few to say whether it meets the target: count more.",
  };
  return {
    pct: whole(c.coverPct),
    limits: c.limits === "none" ? "Too few to give a range: count more." : `between ${whole(c.lowPct)} and ${whole(c.highPct)}, 95 % sure`,
    target: c.meetsTarget ? target[c.meetsTarget] : "",
  };
}
