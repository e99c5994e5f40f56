import assert from "node:assert/strict";
import test from "node:test";
import { fieldsOf, kinds, kindNamed, pointKinds } from "../app/kinds.ts";
import type { Feature, Fields } from "../entry.ts";
import { answersOf, askedOf, defaultsFor, filled, rowsOf, withStatusDay } from "./form.ts";
import { byLastUse } from "./lastused.ts";

const feature = (id: string, stamp: string, fields: Fields, struck = false): Feature => ({ id, property: "p", fields, struck, clashes: [], saw: {}, stamp, unsent: 0 });

test("every kind asks for something first, and for each of its fields once", () => {
  for (const kind of kinds) {
    const { first, more } = rowsOf(kind);
    const names = [...first, ...more].map((f) => f.name);
    assert.ok(first.length >= 1 && first.length <= 3, `${kind.name} asks ${first.length} things first`);
    assert.equal(new Set(names).size, names.length, `${kind.name} asks something twice`);
    for (const f of fieldsOf(kind)) {
      if (f.required && !["level-rows"].includes(f.type)) assert.ok(first.includes(f), `${kind.name} folds away ${f.name}, which is required`);
    }
    assert.ok(!names.includes("accuracyM") && !names.includes("gpsHeightM"), `${kind.name} asks what the receiver tells`);
  }
});

test("answers become values, and what cannot be is told with what to do", () => {
  const dam = kindNamed("check-dam");
  const cases: readonly [string, string, unknown, string?][] = [
    ["crestHeightM", "0.5", 0.5],
    ["crestHeightM", " 0,45 ", 0.45],
    ["crestHeightM", ".5", 0.5],
    ["crestHeightM", "", null],
    ["crestHeightM", "60", undefined, "60 is out of range: give 0 to 10 m"],
    ["crestHeightM", "-0.1", undefined, "-0.1 is out of range: give 0 to 10 m"],
    ["crestHeightM", "half", undefined, "half is not a number. Write it as 1.6"],
    ["crestHeightM", "1e3", undefined, "1e3 is not a number. Write it as 1.6"],
    ["crestHeightM", "NaN", undefined, "NaN is not a number. Write it as 1.6"],
    ["sensitive", "yes", true],
    ["sensitive", "no", false],
    ["status", "built", "built"],
    ["builtOn", "2026-11-25", "2026-11-25"],
    ["builtOn", "12026-11-25", undefined, "12026-11-25 is not a date. Write the year with four digits"],
    ["material", "gabion", undefined, "gabion cannot be chosen. Choose one of loose rock, netting and posts, brushwood, hay bales, timber"],
    ["notes", " rough ", "rough"],
  ];
  for (const [name, answer, value, wrong] of cases) {
    const got = filled(dam, { [name]: answer }, { [name]: "something else" });
    assert.deepEqual(got.set[name], value, `${name} ${answer}`);
    assert.equal(got.wrong[name], wrong, `${name} ${answer}`);
  }
});

test("what is not changed is not recorded again", () => {
  const fields = {
    kind: "gully-head", headDepthM: 1.6, active: true, notes: "x", accuracyM: 4,
    geometry: { type: "Point", coordinates: [146.5, -20.25] }, photos: ["0".repeat(64)], gpsHeightsM: [1, null],
  };
  const head = kindNamed("gully-head");
  assert.deepEqual(filled(head, answersOf(head, fields), fields), { set: {}, wrong: {} });
  assert.deepEqual(filled(head, { ...answersOf(head, fields), notes: "" }, fields).set, { notes: null });
});

test("every field of every kind reads back as it was written", () => {
  for (const kind of kinds) {
    for (const f of askedOf(kind)) {
      const value = { number: f.max ?? 1, integer: f.max ?? 1, "yes-no": false, date: "2026-11-25", choice: f.choices?.[0], feature: "id", text: "words" }[f.type as "text"];
      if (value === undefined) continue;
      const got = filled(kind, answersOf(kind, { [f.name]: value }), {});
      assert.deepEqual(got, { set: { [f.name]: value }, wrong: {} }, `${kind.name} ${f.name}`);
    }
  }
});

test("defaults are what the next thing likely has, never what was measured of another", () => {
  const last = { kind: "check-dam", status: "built", material: "loose rock", crestHeightM: 0.5, chainageM: 40, sedimentDepthM: 0.2, name: "Dam 3", notes: "n" };
  const features = [feature("a", "1", { ...last, material: "timber" }), feature("b", "2", last), feature("c", "3", { ...last, material: "hay bales" }, true)];
  assert.deepEqual(defaultsFor(kindNamed("check-dam"), features), { status: "built", material: "loose rock", crestHeightM: "0.5" });
  assert.deepEqual(defaultsFor(kindNamed("check-dam"), []), { status: "proposed" });
  assert.deepEqual(defaultsFor(kindNamed("gully-head"), [feature("h", "1", { kind: "gully-head", headDepthM: 2, catchmentHa: 9 })]), {});
});

test("a status brings its day, unless somebody gave one", () => {
  assert.deepEqual(withStatusDay({ status: "built" }, {}, "2026-11-25"), { status: "built", builtOn: "2026-11-25" });
  assert.deepEqual(withStatusDay({ status: "built", builtOn: "2026-11-01" }, {}, "2026-11-25"), { status: "built", builtOn: "2026-11-01" });
  assert.deepEqual(withStatusDay({ status: "built" }, { builtOn: "2025-01-01" }, "2026-11-25"), { status: "built" });
  assert.deepEqual(withStatusDay({ notes: "x" }, {}, "2026-11-25"), { notes: "x" });
});

test("kinds come with the last used first, then as the table has them", () => {
  const used = byLastUse(pointKinds, [feature("a", "01", { kind: "peg" }), feature("b", "02", { kind: "hazard" }), feature("c", "00", { kind: "hazard" })]);
  assert.deepEqual(used.map((k) => k.name).slice(0, 3), ["hazard", "peg", "gully-head"]);
  assert.equal(used.length, pointKinds.length);
});
