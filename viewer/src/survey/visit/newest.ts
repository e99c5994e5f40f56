// What visits found of an item, the newest of each, as model/figures tells it (Visited): the
// cases in newest.cases.json are read by the tests of both. Pure.

import { fieldNamed, type Kind, kindNamed, unitInWords } from "../../base/kinds.ts";
import { kindOf, numberOf, textOf, type Feature } from "../../base/entry.ts";
import type { PastVisit } from "./visits.ts";

export interface Newest {
  readonly on?: string; // day of the newest visit that looked at it
  readonly visit?: string; // its id
  readonly condition?: string;
  readonly conditionOn?: string;
  readonly measured: readonly Measured[];
}

export interface Measured {
  readonly name: string; // of the field
  readonly value: number;
  readonly on?: string; // day it was measured
  readonly visit?: string; // absent for the item's own field
}

/** The fields that a visit may hold instead of the item. */
const measuredFields = ["sedimentDepthM", "headOffsetM", "coverPct"] as const;

/** The fields of an item that visits measure again and again: its page shows the newest by date. */
export const measuredAtVisits = (kind: Kind): readonly string[] =>
  kind.name === "visit" ? [] : measuredFields.filter((name) => kind.fields.some((f) => f.name === name));

/** undefined when nobody visited it or measured what visits measure; its visits come oldest first. */
export function newestOf(item: Feature, visits: readonly PastVisit[]): Newest | undefined {
  const of = kindNamed(kindOf(item));
  const newest = new Map<string, Measured>();
  const day = textOf(item, "observedOn");
  for (const name of measuredFields) {
    const value = numberOf(item, name);
    if (value !== undefined && of.fields.some((f) => f.name === name)) newest.set(name, { name, value, ...(day ? { on: day } : {}) });
  }
  let last: { on?: string; visit?: string; condition?: string; conditionOn?: string } = {};
  const conditions = fieldNamed("visit", "condition").choices ?? [];
  for (const visit of visits) {
    const condition = conditions.includes(visit.condition) ? visit.condition : "";
    const values = measuredFields.flatMap((name) => (visit[name] === undefined ? [] : [{ name, value: visit[name] }]));
    if (condition === "" && values.length === 0 && !visit.head) continue;
    last = { ...last, on: visit.on, visit: visit.id, ...(condition && { condition, conditionOn: visit.on }) };
    for (const { name, value } of values) {
      const own = newest.get(name);
      if (!own || own.visit !== undefined || visit.on >= (own.on ?? "")) newest.set(name, { name, value, on: visit.on, visit: visit.id });
    }
  }
  const measured = measuredFields.flatMap((name) => newest.get(name) ?? []);
  return last.visit === undefined && measured.length === 0 ? undefined : { ...last, measured };
}

/** A value that a visit measured: a length as it was typed, cover to the whole per cent, and its range where it was counted. */
export function measuredText(name: string, value: number, range?: string): string {
  if (name === "coverPct") return `${Math.round(value)} %${range ? ` (${range})` : ""}`;
  return `${value} ${unitInWords(fieldNamed("visit", name).unit)}`;
}
