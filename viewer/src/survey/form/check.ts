// What the server checks of a kind's values, checked on the phone before anything is called
// saved: the same table, the same bounds, in words for the officer. Pure.
//
// It is model.CheckFields once more. The cases in check.cases.json are read by the tests of
// both, which must agree on each.

import { type Feature, type Fields, kindOf } from "../../base/entry.ts";
import type { Problem } from "../../base/problem.ts";
import type { Draft } from "../../storage/store.ts";
import { wrongPlace } from "./checkplace.ts";
import { commonFields, type Field, fieldsOf, kinds, unitInWords } from "../../base/kinds.ts";

const levelRowLimit = 10_000;

/** What is wrong with a value of a field, and what to do, in a sentence or two; undefined when nothing is. null clears a field. */
export function wrongValue(field: Field, value: unknown): string | undefined {
  if (value === null || value === undefined) return undefined;
  switch (field.type) {
    case "text":
      return typeof value === "string" ? undefined : "This is not text. Type it again";
    case "number":
    case "integer":
      return wrongNumber(field, value);
    case "yes-no":
      return typeof value === "boolean" ? undefined : "This is neither yes nor no. Choose one";
    case "date":
      return typeof value === "string" && isDate(value) ? undefined : `${String(value)} is not a date. Write the year with four digits`;
    case "instant":
      return typeof value === "string" && isInstant(value)
        ? undefined
        : `${String(value)} is not a time. Write it as 2026-11-25T09:30:00+10:00`;
    case "choice":
      return typeof value === "string" && (field.choices?.includes(value) || value in (field.was ?? {}))
        ? undefined
        : `${String(value)} cannot be chosen. Choose one of ${field.choices?.join(", ") ?? "none"}`;
    case "feature":
      return typeof value === "string" && value !== "" ? undefined : "There is no such item. Choose one";
    case "geometry":
      return wrongPlace(value);
    case "photos":
      return isList(value) && value.every((sha) => typeof sha === "string" && /^[0-9a-f]{64}$/.test(sha))
        ? undefined
        : "The list of photos cannot be read. Take the photo again";
    case "numbers":
      return isList(value) && value.every((n) => n === null || isNumber(n)) ? undefined : "This is not a list of numbers. Type it again";
    case "level-rows":
      return wrongRows(value);
    case "spacing-rows":
      return wrongSpacings(value);
    case "rates":
      return wrongRates(value);
    case "rain-rows":
      return wrongRain(value);
  }
}

const isList = (value: unknown): value is readonly unknown[] => Array.isArray(value);
const isNumber = (value: unknown): value is number => typeof value === "number" && Number.isFinite(value);

function wrongNumber(field: Field, value: unknown): string | undefined {
  if (!isNumber(value)) return `${String(value)} is not a number. Write it as 1.6`;
  if (field.type === "integer" && !Number.isInteger(value)) return "Give a whole number";
  if (within(field, value)) return undefined;
  const unit = unitInWords(field.unit);
  return `${value} is out of range: give ${field.min ?? 0} to ${field.max ?? 0}${unit && ` ${unit}`}`;
}

/** Whether the table's bounds, if it has any, let the number pass. */
export function within({ min = 0, max = 0 }: Field, value: number): boolean {
  return min === max || (value >= min && value <= max);
}

/** A day of the calendar, written as 2026-11-25. */
function isDate(text: string): boolean {
  const parts = /^(\d{4})-(\d\d)-(\d\d)$/.exec(text);
  if (!parts) return false;
  const [year, month, day] = parts.slice(1).map(Number) as [number, number, number];
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
  return day >= 1 && day <= days;
}

function isInstant(text: string): boolean {
  const parts = /^(\d{4}-\d\d-\d\d)T([01]\d|2[0-3]):[0-5]\d:[0-5]\d(\.\d+)?(Z|[-+]([01]\d|2[0-3]):[0-5]\d)$/.exec(text);
  return parts !== null && isDate(parts[1]!);
}

const rowShape: { readonly [name: string]: "string" | "number" | "boolean" } = {
  point: "string",
  bs: "number",
  is: "number",
  fs: "number",
  knownLevelM: "number",
  distanceM: "number",
  inverted: "boolean",
  remark: "string",
  struck: "boolean",
  bookedLevelM: "number",
  feature: "string",
  spot: "string",
  chainageM: "number",
};

function wrongRows(value: unknown): string | undefined {
  if (!isList(value)) return "This is not a level book";
  if (value.length > levelRowLimit) return `The book has ${value.length} rows and may have ${levelRowLimit}. Book several runs`;
  const at = value.findIndex((row) => !isRow(row));
  return at < 0 ? undefined : `Row ${at + 1} is not one of a level book. Strike it out and write it again`;
}

function isRow(row: unknown): boolean {
  if (typeof row !== "object" || row === null || isList(row)) return row === null;
  return Object.entries(row).every(([name, value]) => {
    const type = rowShape[name];
    return type === undefined || value === null || value === undefined || (type === "number" ? isNumber(value) : typeof value === type);
  });
}

const spacingRowLimit = 100;

/** As model.SpacingRow has them; whether their numbers make a table is for the computation to say. */
function wrongSpacings(value: unknown): string | undefined {
  if (!isList(value)) return "This is not a table of spacings";
  if (value.length > spacingRowLimit) return `The table has ${value.length} rows and may have ${spacingRowLimit}`;
  const at = value.findIndex((row) => {
    const { upToPct, spacingM } = (row ?? {}) as { upToPct?: unknown; spacingM?: unknown };
    return !isNumber(upToPct) || !isNumber(spacingM) || upToPct <= 0 || spacingM <= 0;
  });
  return at < 0 ? undefined : `Row ${at + 1} of the table lacks its fall or its spacing. Write it again`;
}

const rainRowLimit = 1000;

/** As model.RainRow has them; whether they make a table is for the computation to say. */
function wrongRain(value: unknown): string | undefined {
  if (!isList(value)) return "This is not a rainfall table";
  if (value.length > rainRowLimit) return `The table has ${value.length} rows and may have ${rainRowLimit}`;
  const at = value.findIndex((row) => {
    const { minutes, intensityMmH } = (row ?? {}) as { minutes?: unknown; intensityMmH?: unknown };
    return !isNumber(minutes) || !isNumber(intensityMmH) || minutes <= 0 || intensityMmH <= 0;
  });
  return at < 0 ? undefined : `Row ${at + 1} of the table lacks its minutes or its intensity. Write it again`;
}

const rateRowLimit = 500;

/** As model.RateRow has them; whether its units can be counted in is for the computation to say. */
function wrongRates(value: unknown): string | undefined {
  if (!isList(value)) return "This is not a list of rates";
  if (value.length > rateRowLimit) return `The list has ${value.length} rates and may have ${rateRowLimit}`;
  const isText = (v: unknown) => typeof v === "string" && v !== "";
  const isAbsent = (v: unknown) => v === undefined || v === null;
  const at = value.findIndex((row) => {
    const { item, unit, costPerUnit: cost, hoursPerUnit: hours } = (row ?? {}) as Record<string, unknown>;
    const given = [cost, hours].filter((v) => !isAbsent(v));
    return !isText(item) || !isText(unit) || given.length === 0 || !given.every((v) => isNumber(v) && v >= 0);
  });
  return at < 0 ? undefined : `Rate ${at + 1} lacks its item, its unit, or a cost or hours from 0. Write it again`;
}

export interface Refused {
  readonly field: Field;
  readonly wrong: string;
}

/** The values that a feature of this kind cannot have. Fields the table does not know are in order; of a kind it does not know the common ones are checked. */
export function refusedOf(kind: string, set: Fields): readonly Refused[] {
  const known = kinds.find((k) => k.name === kind);
  return (known ? fieldsOf(known) : commonFields).flatMap((field) => {
    const wrong = wrongValue(field, set[field.name]);
    return wrong === undefined ? [] : [{ field, wrong }];
  });
}

/** The drafts, when the server will take their values; otherwise it throws a Problem in words for the officer. */
export function checked(drafts: readonly Draft[], features: readonly Feature[]): readonly Draft[] {
  for (const { feature, set } of drafts) {
    if (!set) continue;
    const known = features.find((f) => f.id === feature);
    const kind = "kind" in set ? (typeof set["kind"] === "string" ? set["kind"] : "") : known ? kindOf(known) : "";
    const refused = refusedOf(kind, set)[0];
    if (refused)
      throw {
        path: refused.field.name,
        reason: `${refused.field.label}: ${refused.wrong}.`,
        fix: "It is not saved. Change it and save again.",
      } satisfies Problem;
  }
  return drafts;
}
