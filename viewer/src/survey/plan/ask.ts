// What is asked of the planning, from what an officer chose, and which level runs it can go by. Pure.

import type { BaseChange } from "../../compute/named.ts";
import type { Adoption, Outcome, PlanRequest } from "../../compute/plan.ts";
import type { Draft } from "../../storage/store.ts";
import { count, day } from "../../base/words.ts";
import { type Feature, kindOf, numberOf, textOf } from "../../base/entry.ts";
import { ownNameOf } from "../../base/names.ts";
import { number } from "../../base/number.ts";

/** What an officer chose; "" is left to the settings of the property and the computation. */
export interface ChosenForDams {
  readonly height: string; // m
  readonly slope: string; // %, of silt
  readonly run: string; // id
}

/** The height that is shown first: the property's, else the usual one. "" where two phones set it differently, which the planning refuses. */
export const usualHeight = (settings: Feature | undefined): string =>
  settings?.clashes.includes("damCrestHeightM") ? "" : String((settings && numberOf(settings, "damCrestHeightM")) ?? 0.4);

const withRun = (run: string) => (run ? { run } : {});

export const askDams = (of: string, { height, slope, run }: ChosenForDams): PlanRequest => ({
  of,
  plans: "dams",
  ...withRun(run),
  given: { ...(height ? { crestHeightM: Number(height) } : {}), ...(slope ? { depositSlopePct: Number(slope) } : {}) },
});

/** The same at several heights, each planned by itself: such an answer is looked at, not adopted. */
export const askHeights = (of: string, chosen: ChosenForDams): PlanRequest => ({
  ...askDams(of, { ...chosen, height: "" }),
  compare: { crestHeightM: [0.3, 0.4, 0.5] },
});

export interface ChosenForBanks {
  readonly side: string; // "" for either
  readonly zeroAt: string; // end of the line; "" while nobody said
  readonly run: string;
}

export const askBanks = (of: string, { side, zeroAt, run }: ChosenForBanks): PlanRequest => ({
  of,
  plans: "whoa-boys",
  ...withRun(run),
  ...(zeroAt ? { zeroAt: zeroAt as NonNullable<PlanRequest["zeroAt"]> } : {}),
  ...(side ? { given: { side } } : {}),
});

/** The rain of the design storm, or the time by which the property's rainfall table is read. */
export const askFlow = (
  of: string,
  given: { intensityMmH?: number | undefined; timeOfConcentrationMin?: number | undefined; coefficient?: number | undefined },
): PlanRequest => ({
  of,
  plans: "peak-flow",
  given: Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)),
});

/** A level run that a plan goes by, or could. */
export interface RunOffered {
  readonly id: string;
  readonly words: string;
}

/** The level run used and those that could be, the newest first. */
export function runsOf(outcome: Outcome): { readonly used: string | undefined; readonly all: readonly RunOffered[] } {
  const used = outcome.used.find((u) => u.kind === "level-run");
  const others = outcome.others.map((o) => ({
    ...o,
    what: `${count(o.levels, "level", "levels")} from ${number(o.fromM, 0)} to ${number(o.toM, 0)} m`,
  }));
  const all = [...(used ? [{ ...used, what: "" }] : []), ...others].sort((a, b) => (b.on ?? "").localeCompare(a.on ?? ""));
  return {
    used: used?.feature,
    all: all.map((r) => ({
      id: r.feature,
      words: [r.name || "Level run", r.on && day(r.on), r.what].filter(Boolean).join(", "),
    })),
  };
}

/** The works that adopting makes or edits; what holds the plan is none. */
export const worksIn = (adoption: Adoption) => adoption.changes.filter((c) => c.kind !== "plan");

/** All that adopting writes down, saved together or not at all. */
export const draftsOf = (adoption: Adoption): readonly Draft[] => adoption.changes.map(({ feature, fields }) => ({ feature, set: fields }));

/** What became of the base of an item's adopted plans, of which works are proposed still. */
export function changedSince(
  of: string,
  features: readonly Feature[],
  changed: { readonly [plan: string]: readonly BaseChange[] },
): readonly string[] {
  const waiting = new Set(features.filter((f) => !f.struck && textOf(f, "status") === "proposed").map((f) => textOf(f, "plan")));
  return features
    .filter((f) => kindOf(f) === "plan" && !f.struck && textOf(f, "of") === of && waiting.has(f.id))
    .flatMap((plan) =>
      (changed[plan.id] ?? []).map(({ what }) => `What “${ownNameOf(plan)}” was planned on has changed: ${what} Plan again and adopt.`),
    );
}
