// What a form asks for a kind, and how what was typed becomes values of fields: pure.
// Answers are kept as the text that was typed, so that half a number can be typed.

import { wrongValue } from "./check.ts";
import { fieldsOf, type Field, type Kind } from "../../base/kinds.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import { day, dayOf, distance } from "../../base/words.ts";
import { numberIn } from "../../base/number.ts";
import { notKnown, unexplained } from "../../base/basis.ts";
import { besideOf, paddockAround, tellable, type Fixed } from "./beside.ts";

export type Answers = { readonly [field: string]: string };

/** A form as it stands on the screen: what it shows is what its save writes, and nothing else. */
export interface Form {
  readonly answers: Answers;
  readonly touched: readonly string[]; // typed or chosen by the officer on this form
  /** Where an answer came from that nobody typed: "from the last check dam". The save confirms it. */
  readonly carried: { readonly [field: string]: string };
}

/** Fields that no form asks: they are measured, come from a plan, or have a screen of their own. */
const unasked = new Set([
  ...["kind", "geometry", "accuracyM", "positionBasis", "gpsHeightM", "gpsHeightsM", "photos", "levelRun"],
  ...["plan", "takes", "targetToeLevelM", "coverPlotsPct"],
]);
const unaskedTypes = new Set<Field["type"]>(["geometry", "photos", "level-rows", "instant"]);

/** The fields that a kind's form asks, in the table's order. */
export function askedOf(kind: Kind): readonly Field[] {
  return fieldsOf(kind).filter((f) => !unasked.has(f.name) && !unaskedTypes.has(f.type));
}

export interface FormRows {
  readonly first: readonly Field[]; // asked openly
  readonly more: readonly Field[]; // folded away
}

/**
 * The fields of a kind's form: the required ones first, the kind's own before the common
 * ones. What was carried over stands among the first: nothing is saved out of sight. The day
 * of a status stands beside the status, and how a value was measured beside the value.
 */
export function rowsOf(kind: Kind, form: Form = emptyForm, without: readonly string[] = []): FormRows {
  const beside = new Set(fieldsOf(kind).map((f) => f.basis));
  const asked = askedOf(kind).filter((f) => !beside.has(f.name) && !without.includes(f.name));
  const own = new Set(kind.fields.map((f) => f.name));
  let first = asked.filter((f) => f.required);
  const belongs = (f: Field) => f.required && f.type === "feature"; // that tells nothing of the thing itself
  if (first.every(belongs)) first = [...first, ...asked.filter((f) => own.has(f.name) && !belongs(f)).slice(0, 2)];
  if (first.length === 0) first = asked.filter((f) => f.name === "name");
  const rank = (f: Field) => (f.name === "status" ? -1 : own.has(f.name) ? 0 : f.name === "name" ? 1 : f.name === "notes" ? 2 : 3);
  const statusDay = form.answers["status"] ? dayField(form.answers["status"]) : undefined;
  const shown = [...first, ...asked.filter((f) => !first.includes(f) && f.name in form.carried)].sort((a, b) => rank(a) - rank(b));
  const day = asked.find((f) => f.name === statusDay && !shown.includes(f));
  const open = day ? shown.flatMap((f) => (f.name === "status" ? [f, day] : [f])) : shown;
  return { first: open, more: asked.filter((f) => !open.includes(f)).sort((a, b) => rank(a) - rank(b)) };
}

/** The field of the day on which a work came to a status. */
export const dayField = (status: string): string => `${status}On`;

export const emptyForm: Form = { answers: {}, touched: [], carried: {} };

/** Fields that say which line an item stands in or on, and the kinds of those lines. */
export const besideKinds: { readonly [field: string]: readonly string[] } = { thalweg: ["thalweg"], track: ["track", "fence"] };

/** Fields that name another item, and the kinds it may be of. */
export const referredKinds: { readonly [field: string]: readonly string[] } = {
  ...besideKinds,
  damBelow: ["check-dam"],
  paddock: ["paddock"],
};

/** The form with the lines that the item stands in or on and the paddock around it, where its fix can tell them; the officer's own choice stays. */
export function besideProposed(kind: Kind, form: Form, features: readonly Feature[], at: Fixed | undefined): Form {
  return fieldsOf(kind)
    .filter((f) => f.name in besideKinds || f.name === "paddock")
    .reduce((now, f) => {
      if (f.name === "paddock") return proposed(now, f.name, paddockAround(features, at)?.id ?? "", "around where you stand");
      const near = tellable(besideOf(besideKinds[f.name]!, features, at), at);
      return proposed(now, f.name, near?.feature.id ?? "", near ? `the nearest, ${distance(near.awayM ?? 0)} away` : "");
    }, form);
}

/** Fields whose value is likely the same on the next thing of a kind. Never a status or a day, nor what only this place tells. */
const carriedFields = new Set([
  "material",
  "crestHeightM",
  "heightM",
  "depthM",
  "betweenBanks",
  "toleranceM",
  "runPerRise",
  "seedMix",
  "seedKgHa",
  "datum",
  "dispersive",
]);

/** A form to begin with: what the newest of the kind has and the next likely has too, each
 *  marked as carried over. What was measured of a thing, as a head's depth, is never taken from
 *  another, nor how it was measured. */
export function newForm(kind: Kind, features: readonly Feature[]): Form {
  const last = newestOf(kind.name, features);
  const answers: { [field: string]: string } = {};
  for (const field of fieldsOf(kind)) {
    const answer = answerOf(field, last?.fields[field.name]);
    if (answer !== "" && carriedFields.has(field.name) && (kind.work || field.type !== "number")) answers[field.name] = answer;
  }
  const from = `from the last ${kind.label.toLowerCase()}`;
  return { answers, touched: [], carried: Object.fromEntries(Object.keys(answers).map((name) => [name, from])) };
}

/** The form after the officer changed an answer. Another figure is another measurement: how it was taken is asked again. */
export function changed(kind: Kind, form: Form, name: string, answer: string): Form {
  const answers: { [field: string]: string } = { ...form.answers, [name]: answer };
  const touched = new Set([...form.touched, name]);
  const { [name]: _, ...carried } = form.carried;
  const basis = fieldsOf(kind).find((f) => f.name === name)?.basis;
  if (basis && (answer === "" || (answers[basis] && !form.touched.includes(name)))) {
    answers[basis] = "";
    touched.add(basis);
  }
  const before = form.answers["status"];
  if (name === "status" && before && before !== answer && touched.has(dayField(before))) {
    answers[dayField(before)] = ""; // the day was given for the status that was chosen before
  }
  return { answers, touched: [...touched], carried };
}

/** The form with an answer that the phone proposes and shows, where the officer has given none; without it, when it proposes none any more. */
export function proposed(form: Form, name: string, answer: string, from: string): Form {
  if (form.touched.includes(name)) return form;
  const { [name]: _a, ...answers } = form.answers;
  const { [name]: _c, ...carried } = form.carried;
  return answer === ""
    ? { ...form, answers, carried }
    : { ...form, answers: { ...answers, [name]: answer }, carried: { ...carried, [name]: from } };
}

/** The answers that the officer herself gave. */
export const given = (form: Form): Answers =>
  Object.fromEntries(Object.entries(form.answers).filter(([name]) => form.touched.includes(name)));

export function newestOf(kind: string, features: readonly Feature[]): Feature | undefined {
  let newest: Feature | undefined;
  for (const f of features) {
    if (f.fields["kind"] === kind && !f.struck && (!newest || f.stamp > newest.stamp)) newest = f;
  }
  return newest;
}

/** One of a list of numbers that nobody knows. */
const unknownNumber = "?";

/** A stored value as it stands in a form. */
export function answerOf(field: Field, value: unknown): string {
  if (value === undefined || value === null) return "";
  if (field.type === "yes-no") return value === true ? "yes" : value === false ? "no" : "";
  if (Array.isArray(value)) return value.map((n) => n ?? unknownNumber).join(" ");
  return String(value);
}

/** The answers that a feature's fields give. */
export function answersOf(kind: Kind, fields: Fields): Answers {
  return Object.fromEntries(
    askedOf(kind)
      .filter((f) => fields[f.name] !== undefined)
      .map((f) => [f.name, answerOf(f, fields[f.name])]),
  );
}

/** The value that an answer means; null clears the field, a text in wrong tells what is wrong. */
export function valueIn(field: Field, answer: string, today = dayOf(new Date())): { value: unknown; wrong?: string } {
  const text = answer.trim();
  if (text === "" || text === notKnown) return { value: null };
  const value = meaning(field, text);
  const bad = Array.isArray(value) ? text.split(/[\s;]+/).find((_, i) => Number.isNaN(value[i])) : Number.isNaN(value) ? text : undefined;
  const wrong = bad
    ? `${bad} is not a number. Write it as 1.6`
    : (wrongValue(field, value) ?? (field.type === "date" ? wrongDay(text, today) : undefined));
  return wrong === undefined ? { value } : { value: null, wrong };
}

const firstDay = "1900-01-01"; // nothing was recorded before; common practice, no source

/** Why a day cannot be one on which something was seen or done. */
export function wrongDay(text: string, today: string): string | undefined {
  if (text > today) return `${day(text)} is still to come. Check the year`;
  return text < firstDay ? `${day(text)} is before 1900. Check the year` : undefined;
}

/** Days in the order in which they come, and what was done on the first. */
const inOrder = [
  ["builtOn", "failedOn", "it was built"],
  ["builtOn", "removedOn", "it was built"],
  ["stockInOn", "stockOutOn", "stock went in"],
] as const;

function meaning(field: Field, text: string): unknown {
  switch (field.type) {
    case "number":
    case "integer":
      return numberIn(text);
    case "numbers":
      return text.split(/[\s;]+/).map((one) => (one === unknownNumber ? null : numberIn(one)));
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

const basisIn = (answer: string | undefined): string | null => (!answer || answer === notKnown ? null : answer);

/** What the answers change of the fields before; a wrong answer changes nothing and is told, and so is a number with no word on how it came. */
export function filled(kind: Kind, answers: Answers, before: Fields): Filled {
  const set: { [name: string]: unknown } = {};
  const wrong: { [name: string]: string } = {};
  for (const field of askedOf(kind)) {
    const answer = answers[field.name];
    if (answer === undefined) continue;
    const read = valueIn(field, answer);
    if (read.wrong) wrong[field.name] = read.wrong;
    else if (
      Array.isArray(read.value)
        ? answerOf(field, before[field.name]) !== answerOf(field, read.value)
        : (before[field.name] ?? null) !== read.value
    )
      set[field.name] = read.value;
  }
  for (const field of askedOf(kind)) {
    if (!field.basis || !(field.name in set)) continue;
    const why = typeof set[field.name] === "number" ? unexplained(field, answers[field.basis]) : undefined;
    if (why) wrong[field.basis] = why;
    else set[field.basis] ??= basisIn(answers[field.basis]); // one statement: a value never takes the basis of another's
  }
  const stands = (name: string) => (name in set ? set[name] : before[name]);
  for (const [first, then, was] of inOrder) {
    const a = stands(first),
      b = stands(then);
    if ((first in set || then in set) && typeof a === "string" && typeof b === "string" && b < a)
      wrong[then in set ? then : first] ??= `${day(b)} is before ${was}, on ${day(a)}`;
  }
  return { set, wrong };
}

/** Of what a save was refused for, what still stands as the answers are now: another answer is judged by the next save. */
export function stillWrong(refused: Filled["wrong"], now: Filled): Filled["wrong"] {
  return Object.fromEntries(Object.entries(refused).filter(([name, why]) => now.wrong[name] === why));
}
