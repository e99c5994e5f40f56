// A visit being written, and the drafts it becomes. Pure.

import { type Feature, type Fields, kindOf, textOf } from "../../base/entry.ts";
import { fieldNamed, kindNamed, type Field } from "../../base/kinds.ts";
import { notKnown, unexplained } from "../../base/basis.ts";
import { valueIn } from "../form/form.ts";
import type { Draft, Store } from "../../storage/store.ts";
import { counted, hits, isEmpty, noCount, type Count, type CountAction } from "./steppoints.ts";
import { judged, lastOf, type PastVisit } from "./visits.ts";

export interface Form {
  readonly id: string; // of the visit, made beforehand
  readonly condition: string;
  readonly asked: boolean; // the condition was tapped, not taken from the last visit
  readonly sediment: string; // as typed
  readonly sedimentBasis: string; // how it was measured, "" while that is not chosen
  readonly headOffset: string;
  readonly headPlace: Fields | undefined; // where the head is by our receiver
  readonly count: Count;
  readonly notes: string;
  readonly standsAgain: boolean; // a work that had failed was repaired
  /** Whether a work that the register has as proposed or pegged was found built; not said yet if absent. */
  readonly built?: boolean;
  readonly builtOn?: string; // as typed, where the day is known
  readonly sure?: { readonly [measure in Measure]?: string }; // unlikely numbers that are so, as typed
}

/** Whether there is nothing in it yet: no condition, no measurement, no note. */
export function isBlank(form: Form): boolean {
  return (
    form.condition === "" &&
    form.sediment.trim() === "" &&
    form.headOffset.trim() === "" &&
    !form.headPlace &&
    isEmpty(form.count) &&
    form.notes.trim() === ""
  );
}

/** Whether the officer gave anything: a condition that stands there from the last visit is not hers yet. */
export const isBegun = (form: Form): boolean => form.asked || form.built !== undefined || !isBlank({ ...form, condition: "" });

/** What is typed as a length. */
export type Measure = "sediment" | "headOffset";

export type FormAction =
  | { readonly do: "condition"; readonly condition: string | undefined }
  | { readonly do: "type"; readonly field: "sediment" | "sedimentBasis" | "headOffset" | "notes" | "builtOn"; readonly text: string }
  | { readonly do: "built"; readonly yes: boolean }
  | { readonly do: "head"; readonly place: Fields | undefined }
  | { readonly do: "count"; readonly count: CountAction }
  | { readonly do: "stands-again"; readonly yes: boolean }
  | { readonly do: "sure"; readonly measure: Measure };

/** A new visit: the condition of the last one is carried over, and shown as such, until it is changed; the first begins with none. */
export function newForm(id: string, visits: readonly PastVisit[]): Form {
  const last = lastOf(visits.filter((l) => judged(l) && l.condition !== ""))?.condition ?? "";
  return {
    id,
    condition: last,
    asked: false,
    sediment: "",
    sedimentBasis: "",
    headOffset: "",
    headPlace: undefined,
    count: noCount,
    notes: "",
    standsAgain: false,
  };
}

export function formed(form: Form, action: FormAction): Form {
  switch (action.do) {
    case "condition":
      return { ...form, condition: action.condition ?? "", asked: true, standsAgain: action.condition === "sound" && form.standsAgain };
    case "built": // what is not built has no condition yet
      return { ...form, built: action.yes, ...(action.yes ? {} : { condition: "", asked: true, builtOn: "" }) };
    case "type":
      return { ...form, [action.field]: action.text };
    case "head":
      return { ...form, headPlace: action.place };
    case "count":
      return { ...form, count: counted(form.count, action.count) };
    case "stands-again":
      return { ...form, standsAgain: action.yes };
    case "sure":
      return { ...form, sure: { ...form.sure, [action.measure]: form[action.measure] } };
  }
}

/** What is measured about a kind of thing, first things first. */
export function measures(kind: string): readonly ("head" | "sediment" | "cover")[] {
  switch (kind) {
    case "gully-head":
      return ["head"];
    case "check-dam":
      return ["sediment"];
    case "revegetation":
    case "exclosure":
    case "scald":
    case "cover-plot":
    case "rip-line":
    case "batter":
    case "windrow":
      return ["cover"];
    default:
      return [];
  }
}

const fieldsMeasured: { readonly [measure in Measure]: Field } = {
  sediment: fieldNamed("visit", "sedimentDepthM"),
  headOffset: fieldNamed("visit", "headOffsetM"),
};

/** A length as it is typed, and the field it is for; no metres while it says none. */
export function measured(
  form: Form,
  measure: Measure,
): { readonly field: Field; readonly metres: number | undefined; readonly wrong: string | undefined } {
  const field = fieldsMeasured[measure];
  const { value, wrong } = valueIn(field, form[measure]);
  return { field, metres: typeof value === "number" ? value : undefined, wrong };
}

export type Wrong = { readonly [measure in Measure]?: string };

/** What cannot be, by the table that the server checks by. */
export function wrongIn(form: Form): Wrong {
  const told = (["sediment", "headOffset"] as const).flatMap((m) => {
    const { wrong } = measured(form, m);
    return wrong === undefined ? [] : [[m, wrong]];
  });
  return Object.fromEntries(told);
}

/** A number with no word on how it came: what to choose, else undefined. */
export function unexplainedIn(form: Form): string | undefined {
  const { field, metres } = measured(form, "sediment");
  return metres === undefined ? undefined : unexplained(field, form.sedimentBasis);
}

/** Whether a condition is judged of a work that nobody recorded as built. */
export const isUnbuilt = (form: Form, thing: Feature): boolean =>
  kindNamed(kindOf(thing)).work &&
  ["proposed", "pegged"].includes(textOf(thing, "status")) &&
  (form.condition !== "" || form.built !== undefined);

const builtOnField = fieldNamed("check-dam", "builtOn"); // every work has it

/** What is still to be said of a work that was not recorded as built; undefined when nothing is. */
export function unbuiltIn(form: Form, thing: Feature): string | undefined {
  if (!isUnbuilt(form, thing)) return undefined;
  if (form.built === undefined) return `Say whether it has been built: it is recorded as ${textOf(thing, "status")}`;
  return form.condition !== "" && !form.built
    ? "A work that is not built has no condition yet: say that it is built, or choose no condition"
    : valueIn(builtOnField, form.builtOn ?? "").wrong;
}

/** The visit as drafts, and with it the status of the work where that changes. coverPct is package model's. */
export function visitDrafts(form: Form, thing: Feature, on: string, coverPct: number | undefined): readonly Draft[] {
  const sedimentDepthM = measured(form, "sediment").metres,
    headOffsetM = measured(form, "headOffset").metres;
  const notes = form.notes.trim();
  const visit: Draft = {
    feature: form.id,
    set: {
      kind: "visit",
      of: thing.id,
      observedOn: on,
      ...(form.condition ? { condition: form.condition } : {}),
      ...(sedimentDepthM === undefined
        ? {}
        : { sedimentDepthM, ...(form.sedimentBasis && form.sedimentBasis !== notKnown ? { sedimentDepthBasis: form.sedimentBasis } : {}) }),
      ...(headOffsetM === undefined ? {} : { headOffsetM }),
      ...form.headPlace,
      ...coverFields(form.count, coverPct),
      ...(notes ? { notes } : {}),
    },
  };
  const status = statusChange(form, thing);
  if (!status) return [visit];
  const built = form.built ? valueIn(builtOnField, form.builtOn ?? "").value : null;
  const builtOn = typeof built === "string" ? { builtOn: built } : {};
  // The day on which it was built first stays; the entry itself tells when it was repaired.
  return [visit, { feature: thing.id, set: status === "failed" ? { status, failedOn: on, ...builtOn } : { status, ...builtOn } }];
}

/** The readings themselves are kept beside the figure, so that it can be worked out again. */
function coverFields(count: Count, coverPct: number | undefined): Fields {
  if (isEmpty(count)) return {};
  const figure = coverPct === undefined ? shareOf(count) : coverPct;
  const readings =
    count.way === "points" ? { coverHits: hits(count), coverPoints: count.points.length } : { coverPlotsPct: count.plotsPct };
  return { coverPct: Math.round(figure * 1000) / 1000, ...readings };
}

/** The plain share or mean, while the computations are not on the phone. */
function shareOf(count: Count): number {
  if (count.way === "points") return (100 * hits(count)) / count.points.length;
  return count.plotsPct.reduce((sum, pct) => sum + pct, 0) / count.plotsPct.length;
}

/** A built work that is found failed is failed from today; one that was repaired is built again. */
export function statusChange(form: Form, thing: Feature): "failed" | "built" | undefined {
  if (!kindNamed(kindOf(thing)).work) return undefined;
  const status = textOf(thing, "status");
  if (form.built && isUnbuilt(form, thing)) return form.condition === "failed" ? "failed" : "built";
  if (form.condition === "failed" && status === "built") return "failed";
  if (form.standsAgain && form.condition === "sound" && status === "failed") return "built";
  return undefined;
}

// Visits that were begun and not saved: each is kept on the phone under the item that it is to.
const prefix = "visit/";
export const draftKey = (of: string): string => `${prefix}${of}`;

/** A visit that was begun, and the item that it is to. */
export interface BegunVisit {
  readonly of: string;
  readonly id: string; // its own: a visit of that id is saved already when the phone died just after
}

/** Those of all properties on the phone. */
export async function begunVisits(store: Store): Promise<readonly BegunVisit[]> {
  return [...(await store.draftsUnder<Form>(prefix))].flatMap(([of, form]) => (isBegun(form) ? [{ of, id: form.id }] : []));
}
