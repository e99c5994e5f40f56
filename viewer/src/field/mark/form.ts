// What a form asks for a kind, and how what was typed becomes values of fields: pure.
// Answers are kept as the text that was typed, so that half a number can be typed.

import { wrongValue } from "../app/check.ts";
import { fieldsOf, type Field, type Kind } from "../app/kinds.ts";
import type { Feature, Fields } from "../entry.ts";
import { numberIn } from "../kit/number.ts";

export type Answers = { readonly [field: string]: string };

/** Fields that no form asks: they are measured, or have a screen of their own. */
const unasked = new Set(["kind", "geometry", "accuracyM", "gpsHeightM", "gpsHeightsM", "photos", "toeLevelM", "targetCrestLevelM", "levelRun"]);
const unaskedTypes = new Set<Field["type"]>(["geometry", "photos", "numbers", "level-rows", "spacing-rows", "instant"]);

/** The fields that a kind's form asks, in the table's order. */
export function askedOf(kind: Kind): readonly Field[] {
  return fieldsOf(kind).filter((f) => !unasked.has(f.name) && !unaskedTypes.has(f.type));
}

export interface FormRows {
  readonly first: readonly Field[]; // asked openly
  readonly more: readonly Field[]; // folded away
}

/** The fields of a kind's form: the required ones first, the kind's own before the common ones. */
export function rowsOf(kind: Kind): FormRows {
  const asked = askedOf(kind);
  const own = new Set(kind.fields.map((f) => f.name));
  let first = asked.filter((f) => f.required);
  if (first.length === 0) first = asked.filter((f) => own.has(f.name)).slice(0, 2);
  if (first.length === 0) first = asked.filter((f) => f.name === "name");
  const rest = asked.filter((f) => !first.includes(f));
  const rank = (f: Field) => (own.has(f.name) ? 0 : f.name === "name" ? 1 : f.name === "notes" ? 2 : 3);
  return { first: first.slice().sort((a, b) => rank(a) - rank(b)), more: rest.slice().sort((a, b) => rank(a) - rank(b)) };
}

/** Fields whose value is likely the same on the next thing of a kind. */
const carried = new Set(["status", "material", "crestHeightM", "thalweg", "track", "outletSide", "heightM", "depthM", "betweenBanks", "toleranceM", "runPerRise", "seedMix", "seedKgHa", "datum", "dispersive"]);

/** Answers to begin with: what the newest of the kind has and the next likely has too. What
 *  was measured of a thing, as a head's depth, is never taken from another. */
export function defaultsFor(kind: Kind, features: readonly Feature[]): Answers {
  const last = newestOf(kind.name, features);
  const out: { [field: string]: string } = {};
  for (const field of fieldsOf(kind)) {
    const value = last?.fields[field.name];
    if (value !== undefined && carried.has(field.name) && (kind.work || field.type !== "number")) out[field.name] = answerOf(field, value);
  }
  if (kind.work && out["status"] === undefined) out["status"] = "proposed";
  return out;
}

export function newestOf(kind: string, features: readonly Feature[]): Feature | undefined {
  let newest: Feature | undefined;
  for (const f of features) {
    if (f.fields["kind"] === kind && !f.struck && (!newest || f.stamp > newest.stamp)) newest = f;
  }
  return newest;
}

/** A stored value as it stands in a form. */
export function answerOf(field: Field, value: unknown): string {
  if (value === undefined || value === null) return "";
  if (field.type === "yes-no") return value === true ? "yes" : value === false ? "no" : "";
  return String(value);
}

/** The answers that a feature's fields give. */
export function answersOf(kind: Kind, fields: Fields): Answers {
  return Object.fromEntries(askedOf(kind).filter((f) => fields[f.name] !== undefined).map((f) => [f.name, answerOf(f, fields[f.name])]));
}

/** The value that an answer means; null clears the field, a text in wrong tells what is wrong. */
export function valueOf(field: Field, answer: string): { value: unknown; wrong?: string } {
  const text = answer.trim();
  if (text === "") return { value: null };
  const value = meaning(field, text);
  const wrong = Number.isNaN(value) ? `${text} is not a number. Write it as 1.6` : wrongValue(field, value);
  return wrong === undefined ? { value } : { value: null, wrong };
}

function meaning(field: Field, text: string): unknown {
  switch (field.type) {
    case "number":
    case "integer":
      return numberIn(text);
    case "yes-no":
      return text === "yes";
    default:
      return text;
  }
}

export interface Filled {
  readonly set: Fields; // what differs from before
  readonly wrong: { readonly [field: string]: string };
}

/** What the answers change of the fields before; a wrong answer changes nothing and is told. */
export function filled(kind: Kind, answers: Answers, before: Fields): Filled {
  const set: { [name: string]: unknown } = {};
  const wrong: { [name: string]: string } = {};
  for (const field of askedOf(kind)) {
    const answer = answers[field.name];
    if (answer === undefined) continue;
    const read = valueOf(field, answer);
    if (read.wrong) wrong[field.name] = read.wrong;
    else if ((before[field.name] ?? null) !== read.value) set[field.name] = read.value;
  }
  return { set, wrong };
}

/** The day a work came to its status, where the form gave the status and nobody the day. */
export function withStatusDay(set: Fields, before: Fields, today: string): Fields {
  const status = set["status"];
  if (typeof status !== "string") return set;
  const day = `${status}On`;
  return day in set || before[day] !== undefined ? set : { ...set, [day]: today };
}
