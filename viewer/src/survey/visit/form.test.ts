import assert from "node:assert/strict";
import test from "node:test";
import { kinds } from "../../base/kinds.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import {
  formed,
  measures,
  isBlank,
  newForm,
  statusChange,
  unbuiltIn,
  unexplainedIn,
  visitDrafts,
  wrongIn,
  type Form,
  type FormAction,
} from "./form.ts";
import { visitsTo, type PastVisit } from "./visits.ts";

const thing = (fields: Fields): Feature => ({
  id: "dam",
  property: "p",
  fields: { kind: "check-dam", ...fields },
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
});
const visit = (condition: string): PastVisit => ({ id: condition, on: "2025-05-01", stamp: "", condition, photos: [], photoRecords: [] });
const after = (form: Form, ...actions: FormAction[]) => actions.reduce(formed, form);

test("the condition of the last visit stands ready, none at the first", () => {
  assert.equal(newForm("v", []).condition, "");
  assert.equal(isBlank(newForm("v", [])), true);
  assert.equal(newForm("v", [visit("healed"), visit("needs work")]).condition, "needs work");
  assert.equal(newForm("v", [visit("needs work"), { ...visit(""), photos: ["a"] }]).condition, "needs work", "a photo judges nothing");
});

test("a visit that holds is one entry and nothing that was not looked at", () => {
  assert.deepEqual(visitDrafts(newForm("v", [visit("sound")]), thing({ status: "built" }), "2026-11-25", undefined), [
    { feature: "v", set: { kind: "visit", of: "dam", observedOn: "2026-11-25", condition: "sound" } },
  ]);
});

test("all that was measured is in the entry, in metres", () => {
  const form = after(
    newForm("v", []),
    { do: "condition", condition: "needs work" },
    { do: "type", field: "sediment", text: "0,35" },
    { do: "type", field: "sedimentBasis", text: "taped" },
    { do: "type", field: "headOffset", text: "11.85" },
    { do: "type", field: "notes", text: "  notch worn \n" },
    { do: "head", place: { geometry: { type: "Point", coordinates: [146, -20] }, accuracyM: 3 } },
    { do: "count", count: { do: "point", point: "cover" } },
    { do: "count", count: { do: "point", point: "bare" } },
    { do: "count", count: { do: "point", point: "bare" } },
  );
  assert.deepEqual(visitDrafts(form, thing({}), "2026-11-25", 100 / 3)[0]!.set, {
    kind: "visit",
    of: "dam",
    observedOn: "2026-11-25",
    condition: "needs work",
    sedimentDepthM: 0.35,
    sedimentDepthBasis: "taped",
    headOffsetM: 11.85,
    geometry: { type: "Point", coordinates: [146, -20] },
    accuracyM: 3,
    coverPct: 33.333,
    coverHits: 1,
    coverPoints: 3,
    notes: "notch worn",
  });
  assert.equal(
    visitDrafts(form, thing({}), "2026-11-25", undefined)[0]!.set!["coverPct"],
    33.333,
    "without the computations the plain share is kept",
  );
});

test("sediment with no word on how it was measured is asked about, and not known is saved as nothing", () => {
  const typed = after(newForm("v", []), { do: "type", field: "sediment", text: "0.35" });
  assert.equal(unexplainedIn(typed), "Choose how the sediment caught was measured");
  assert.equal(unexplainedIn(newForm("v", [])), undefined);
  const notKnown = after(typed, { do: "type", field: "sedimentBasis", text: "not recorded" });
  assert.equal(unexplainedIn(notKnown), undefined);
  assert.deepEqual(visitDrafts(notKnown, thing({}), "2026-11-25", undefined)[0]!.set, {
    kind: "visit",
    of: "dam",
    observedOn: "2026-11-25",
    sedimentDepthM: 0.35,
  });
});

test("a built work that failed is failed from today, a repaired one is built", () => {
  const failed = after(newForm("v", []), { do: "condition", condition: "failed" });
  assert.deepEqual(visitDrafts(failed, thing({ status: "built" }), "2026-11-25", undefined)[1], {
    feature: "dam",
    set: { status: "failed", failedOn: "2026-11-25" },
  });
  for (const status of ["proposed", "pegged", "failed", "removed"])
    assert.equal(statusChange(failed, thing({ status })), undefined, `a ${status} work`);
  assert.equal(statusChange(failed, thing({ kind: "gully-head", status: "built" })), undefined, "a head is no work");
  const again = after(newForm("v", []), { do: "condition", condition: "sound" }, { do: "stands-again", yes: true });
  assert.deepEqual(
    visitDrafts(again, thing({ status: "failed" }), "2026-11-25", undefined)[1],
    { feature: "dam", set: { status: "built" } },
    "the day it was built first stays",
  );
  assert.equal(statusChange(after(again, { do: "condition", condition: "failed" }), thing({ status: "failed" })), undefined);
});

test("a condition of a work that is only pegged asks whether it was built, and never invents the day", () => {
  const pegged = thing({ status: "pegged" });
  const sound = after(newForm("v", []), { do: "condition", condition: "sound" });
  assert.equal(unbuiltIn(sound, pegged), "Say whether it has been built: it is recorded as pegged");
  assert.equal(unbuiltIn(newForm("v", []), pegged), undefined, "a note of a peg asks nothing");
  assert.equal(unbuiltIn(sound, thing({ status: "built" })), undefined);
  const built = after(sound, { do: "built", yes: true });
  assert.equal(unbuiltIn(built, pegged), undefined);
  assert.deepEqual(visitDrafts(built, pegged, "2026-11-25", undefined)[1], { feature: "dam", set: { status: "built" } });
  const dated = after(built, { do: "type", field: "builtOn", text: "2026-10-02" });
  assert.deepEqual(visitDrafts(dated, pegged, "2026-11-25", undefined)[1], {
    feature: "dam",
    set: { status: "built", builtOn: "2026-10-02" },
  });
  assert.match(unbuiltIn(after(built, { do: "type", field: "builtOn", text: "0020-10-02" }), pegged) ?? "", /before 1900/);
  const failed = after(built, { do: "condition", condition: "failed" });
  assert.deepEqual(visitDrafts(failed, pegged, "2026-11-25", undefined)[1], {
    feature: "dam",
    set: { status: "failed", failedOn: "2026-11-25" },
  });
  const not = after(sound, { do: "built", yes: false });
  assert.deepEqual([not.condition, visitDrafts(not, pegged, "2026-11-25", undefined).length], ["", 1]);
  assert.equal(unbuiltIn(not, pegged), undefined);
  assert.match(unbuiltIn(after(not, { do: "condition", condition: "sound" }), pegged) ?? "", /is not built has no condition/);
});

test("numbers that cannot be are told", () => {
  const typed = (sediment: string, headOffset: string) =>
    wrongIn(
      after(newForm("v", []), { do: "type", field: "sediment", text: sediment }, { do: "type", field: "headOffset", text: headOffset }),
    );
  for (const text of ["-1", "10.5", "1e2", "abc", "1.2.3"]) assert.ok(typed(text, "").sediment, `sediment ${text}`);
  assert.equal(typed("23", "").sediment, "23 is out of range: give 0 to 10 m");
  for (const text of ["", "0", "0.35", "10", ".5", "0,4"]) assert.deepEqual(typed(text, ""), {}, `sediment ${text}`);
  assert.ok(typed("", "10001").headOffset);
});

test("every kind has its measures and every condition is the table's", () => {
  for (const k of kinds) assert.ok(Array.isArray(measures(k.name)), k.name);
  assert.deepEqual(
    kinds
      .filter((k) => measures(k.name).includes("cover"))
      .map((k) => k.name)
      .sort(),
    ["batter", "cover-plot", "exclosure", "revegetation", "rip-line", "scald", "windrow"],
  );
  assert.deepEqual(kinds.find((k) => k.name === "visit")!.fields.find((f) => f.name === "condition")!.choices, [
    "sound",
    "needs work",
    "failed",
    "healed",
  ]);
});

test("the place of a photo is not the place of the head", () => {
  const place = { geometry: { type: "Point", coordinates: [146, -20] }, accuracyM: 5 };
  const visit = (id: string, fields: Fields) => ({ ...thing({ kind: "visit", of: "dam", observedOn: "2025-05-01", ...fields }), id });
  const visits = visitsTo("dam", [visit("a", { ...place, photos: ["a".repeat(64)] }), visit("b", place)]);
  assert.deepEqual(
    visits.map((l) => [l.id, l.head?.accuracyM, l.photoRecords]),
    [["b", 5, ["a"]]],
  );
});
