import assert from "node:assert/strict";
import test from "node:test";
import { fieldsOf, kinds, kindNamed } from "../../base/kinds.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import { besideOf } from "./beside.ts";
import { answersOf, askedOf, besideProposed, changed, emptyForm, filled, given, newForm, rowsOf, stillWrong, wrongDay } from "./form.ts";
import { measuredAtVisits } from "../visit/newest.ts";

const feature = (id: string, stamp: string, fields: Fields, struck = false): Feature => ({
  id,
  property: "p",
  fields,
  struck,
  clashes: [],
  saw: {},
  stamp,
  unsent: 0,
});

test("every kind asks for something first, and for each of its fields once", () => {
  for (const kind of kinds) {
    const { first, more } = rowsOf(kind);
    const names = [...first, ...more].map((f) => f.name);
    assert.ok(first.length >= 1 && first.length <= 3, `${kind.name} asks ${first.length} things first`);
    assert.equal(new Set(names).size, names.length, `${kind.name} asks something twice`);
    for (const f of fieldsOf(kind)) {
      if (f.required && !["level-rows"].includes(f.type))
        assert.ok(first.includes(f), `${kind.name} folds away ${f.name}, which is required`);
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
    kind: "gully-head",
    headDepthM: 1.6,
    active: true,
    notes: "x",
    accuracyM: 4,
    geometry: { type: "Point", coordinates: [146.5, -20.25] },
    photos: ["0".repeat(64)],
    gpsHeightsM: [1, null],
  };
  const head = kindNamed("gully-head");
  assert.deepEqual(filled(head, answersOf(head, fields), fields), { set: {}, wrong: {} });
  assert.deepEqual(filled(head, { ...answersOf(head, fields), notes: "" }, fields).set, { notes: null });
});

test("every field of every kind reads back as it was written", () => {
  for (const kind of kinds) {
    for (const f of askedOf(kind)) {
      const value = {
        number: f.max ?? 1,
        integer: f.max ?? 1,
        "yes-no": false,
        date: "2026-11-25",
        choice: f.choices?.[0],
        feature: "id",
        text: "words",
        numbers: [42, null, 36.5],
      }[f.type as "text"];
      if (value === undefined) continue;
      const how = f.basis ? { [f.basis]: fieldsOf(kind).find((b) => b.name === f.basis)!.choices![0] } : {};
      const got = filled(kind, answersOf(kind, { [f.name]: value, ...how }), how);
      assert.deepEqual(got, { set: { [f.name]: value, ...how }, wrong: {} }, `${kind.name} ${f.name}`);
    }
  }
});

test("a list of numbers is typed with spaces, and kept only when each is one", () => {
  const assessed = kindNamed("pasture-assessment");
  const cuts = (typed: string, before = {}) => filled(assessed, { dryCutsG: typed }, before);
  assert.deepEqual(cuts(" 42  45,5;36 "), { set: { dryCutsG: [42, 45.5, 36] }, wrong: {} });
  assert.deepEqual(cuts("42 4o 36"), { set: {}, wrong: { dryCutsG: "4o is not a number. Write it as 1.6" } });
  assert.deepEqual(cuts("42 45.5", { dryCutsG: [42, 45.5] }).set, {}, "as it was");
  assert.deepEqual(cuts("", { dryCutsG: [42] }).set, { dryCutsG: null });
});

test("stock do not go out before they went in", () => {
  const stocking = kindNamed("stocking");
  assert.deepEqual(filled(stocking, { stockOutOn: "2026-03-01" }, { stockInOn: "2026-05-13" }).wrong, {
    stockOutOn: "1 March 2026 is before stock went in, on 13 May 2026",
  });
  assert.deepEqual(filled(stocking, { stockInOn: "2026-05-13", stockOutOn: "2026-05-13", head: "0" }, {}), {
    set: { head: 0, stockInOn: "2026-05-13", stockOutOn: "2026-05-13" },
    wrong: {},
  });
});

test("the figures of an assessment stand open beside the paddock that it belongs to", () => {
  const first = (name: string) => rowsOf(kindNamed(name)).first.map((f) => f.name);
  assert.deepEqual(first("pasture-assessment"), ["paddock", "frameM2", "dryCutsG"]);
  assert.deepEqual(first("stocking"), ["paddock", "head", "stockInOn"]);
});

test("what a plan says is asked of nobody", () => {
  const asked = askedOf(kindNamed("check-dam")).map((f) => f.name);
  assert.deepEqual(
    ["plan", "takes", "targetToeLevelM", "crestHeightM"].filter((name) => asked.includes(name)),
    ["crestHeightM"],
  );
});

test("no number of any kind is saved with no word on how it came, and that nobody knows is saved as nothing", () => {
  for (const kind of kinds) {
    for (const f of askedOf(kind).filter((f) => f.basis !== undefined)) {
      const bare = filled(kind, { [f.name]: "0.4" }, {});
      assert.deepEqual(bare.wrong, { [f.basis!]: `Choose how the ${f.label.toLowerCase()} was measured` }, `${kind.name} ${f.name}`);
      assert.deepEqual(filled(kind, { [f.name]: "0.4", [f.basis!]: "not recorded" }, {}), {
        set: { [f.name]: 0.4, [f.basis!]: null },
        wrong: {},
      });
      assert.deepEqual(filled(kind, { [f.name]: "0.4", [f.basis!]: "not recorded" }, { [f.basis!]: "taped" }).set, {
        [f.name]: 0.4,
        [f.basis!]: null,
      });
      assert.deepEqual(
        filled(kind, { [f.name]: "0.4", notes: "n" }, { [f.name]: 0.4 }),
        { set: { notes: "n" }, wrong: {} },
        "an old number with no basis lets the rest be edited",
      );
      assert.deepEqual(filled(kind, { [f.name]: "" }, { [f.name]: 0.4 }), { set: { [f.name]: null, [f.basis!]: null }, wrong: {} });
      const how = fieldsOf(kind).find((b) => b.name === f.basis)!.choices![0]!;
      assert.deepEqual(
        filled(kind, { [f.name]: "0.4", [f.basis!]: how }, { [f.name]: 0.3, [f.basis!]: how }).set,
        { [f.name]: 0.4, [f.basis!]: how },
        "value and basis are one statement",
      );
    }
  }
});

test("today and the first day of 1900 are days on which something was seen", () => {
  for (const [day, fine] of [
    ["1899-12-31", false],
    ["1900-01-01", true],
    ["2026-11-24", true],
    ["2026-11-25", true],
    ["2026-11-26", false],
  ] as const) {
    assert.equal(wrongDay(day, "2026-11-25") === undefined, fine, day);
  }
});

test("a day to come, one before 1900 and one out of its order are refused with the remedy", () => {
  const kind = kindNamed("check-dam");
  const wrong = (answers: Fields, before: Fields = {}) => filled(kind, answers as { [f: string]: string }, before).wrong;
  assert.deepEqual(wrong({ builtOn: "0020-05-13" }), { builtOn: "13 May 0020 is before 1900. Check the year" });
  assert.deepEqual(wrong({ builtOn: "2999-05-13" }), { builtOn: "13 May 2999 is still to come. Check the year" });
  assert.deepEqual(wrong({ failedOn: "2020-05-13" }, { builtOn: "2024-01-02" }), {
    failedOn: "13 May 2020 is before it was built, on 2 January 2024",
  });
  assert.deepEqual(wrong({ builtOn: "2024-05-13" }, { removedOn: "2024-01-02" }), {
    builtOn: "2 January 2024 is before it was built, on 13 May 2024",
  });
  assert.deepEqual(wrong({ builtOn: "2024-05-13", failedOn: "2025-05-13" }), {});
  assert.deepEqual(wrong({ notes: "n" }, { builtOn: "0020-05-13", failedOn: "0019-01-01" }), {}, "an old day lets the rest be edited");
});

const dam = kindNamed("check-dam"),
  head = kindNamed("gully-head");

test("what is carried over is likely so of the next, is marked, and is never a status, a day or what was measured of another", () => {
  const last = {
    kind: "check-dam",
    status: "built",
    builtOn: "2026-05-13",
    material: "loose rock",
    crestHeightM: 0.5,
    crestHeightBasis: "taped",
    chainageM: 40,
    sedimentDepthM: 0.2,
    thalweg: "t",
    name: "Dam 3",
    notes: "n",
  };
  const features = [
    feature("a", "1", { ...last, material: "timber" }),
    feature("b", "2", last),
    feature("c", "3", { ...last, material: "hay bales" }, true),
  ];
  const form = newForm(dam, features);
  assert.deepEqual(form.answers, { material: "loose rock", crestHeightM: "0.5" });
  assert.deepEqual(form.carried, { material: "from the last check dam", crestHeightM: "from the last check dam" });
  assert.deepEqual(given(form), {});
  assert.deepEqual(newForm(dam, []), { answers: {}, touched: [], carried: {} });
  assert.deepEqual(newForm(head, [feature("h", "1", { kind: "gully-head", headDepthM: 2, catchmentHa: 9 })]).answers, {});
});

test("what is carried over is never folded away, and no form of any kind begins with a status or a day", () => {
  for (const kind of kinds) {
    const full = Object.fromEntries(
      fieldsOf(kind).map((f) => [
        f.name,
        { number: 1, integer: 1, "yes-no": false, date: "2026-11-25", choice: f.choices?.[0], feature: "id", text: "words" }[
          f.type as "text"
        ],
      ]),
    );
    const form = newForm(kind, [feature("a", "1", { ...full, kind: kind.name })]);
    const { first } = rowsOf(kind, form);
    for (const name of Object.keys(form.answers)) {
      assert.ok(
        first.some((f) => f.name === name),
        `${kind.name} carries ${name} over out of sight`,
      );
      assert.ok(form.carried[name], `${kind.name} does not mark ${name}`);
      assert.ok(name !== "status" && !name.endsWith("On") && !name.endsWith("Basis"), `${kind.name} presumes ${name}`);
    }
  }
});

test("a status brings the question for its day, and another status takes the answer back", () => {
  const built = changed(dam, newForm(dam, []), "status", "built");
  assert.deepEqual(built.answers, { status: "built" }, "no day is presumed");
  const names = rowsOf(dam, built).first.map((f) => f.name);
  assert.equal(names[names.indexOf("status") + 1], "builtOn");
  const dated = changed(dam, built, "builtOn", "2026-05-13");
  assert.deepEqual(filled(dam, dated.answers, {}).set, { status: "built", builtOn: "2026-05-13" });
  assert.deepEqual(filled(dam, changed(dam, dated, "status", "pegged").answers, {}).set, { status: "pegged" });
});

test("another figure is another measurement: how it was taken is asked again", () => {
  const stored = { crestHeightM: 0.5, crestHeightBasis: "taped" };
  const open = { ...emptyForm, answers: answersOf(dam, stored) };
  assert.deepEqual(filled(dam, changed(dam, open, "crestHeightM", "0.6").answers, stored).set, {
    crestHeightM: 0.6,
    crestHeightBasis: null,
  });
  assert.deepEqual(given(changed(dam, open, "crestHeightM", "0.6")), { crestHeightM: "0.6", crestHeightBasis: "" }, "kept with it");
  assert.deepEqual(filled(dam, changed(dam, open, "crestHeightM", "").answers, stored).set, { crestHeightM: null, crestHeightBasis: null });
  const said = changed(dam, changed(dam, changed(dam, open, "crestHeightM", "0."), "crestHeightBasis", "estimated"), "crestHeightM", "0.6");
  assert.deepEqual(
    filled(dam, said.answers, stored).set,
    { crestHeightM: 0.6, crestHeightBasis: "estimated" },
    "what was said on this form stays while the figure is typed",
  );
});

const line = (id: string, offM: number): Feature =>
  feature(id, id, {
    kind: "thalweg",
    geometry: {
      type: "LineString",
      coordinates: [
        [146.5 - 0.01, -20 + offM / 110704],
        [146.5 + 0.01, -20 + offM / 110704],
      ],
    },
  });
const here = (accuracyM: number) => ({ lon: 146.5, lat: -20, accuracyM });

test("the nearest gully is the nearest line, whatever its corners or its age", () => {
  const all = besideOf(["thalweg"], [line("near", 4), line("newer", 25), feature("zz", "zz", { kind: "thalweg" })], here(3));
  assert.deepEqual(
    all.map((b) => b.feature.id),
    ["near", "newer", "zz"],
  );
  assert.ok(Math.abs(all[0]!.awayM! - 4) < 0.1, `${all[0]!.awayM} m from the line, whose corners are a kilometre off`);
  const form = besideProposed(dam, newForm(dam, []), [line("near", 4), line("newer", 25)], here(3));
  assert.deepEqual([form.answers, form.carried], [{ thalweg: "near" }, { thalweg: "the nearest, 4 m away" }]);
});

test("no gully is proposed where the fix cannot tell, and the officer's own stays", () => {
  const cases: readonly [string, readonly Feature[], ReturnType<typeof here> | undefined, string | undefined][] = [
    ["25 m off, fixed to 3 m", [line("a", 25)], here(3), undefined],
    ["25 m off, fixed to 30 m, no other", [line("a", 25)], here(30), "a"],
    ["two within the fix", [line("a", 4), line("b", -9)], here(5), undefined],
    ["two, one much nearer", [line("a", 4), line("b", -19)], here(5), "a"],
    ["no place yet", [line("a", 4)], undefined, undefined],
    ["one without a place", [feature("a", "1", { kind: "thalweg" })], here(3), undefined],
  ];
  for (const [say, features, at, want] of cases)
    assert.equal(besideProposed(dam, newForm(dam, []), features, at).answers["thalweg"], want, say);
  const own = changed(dam, newForm(dam, []), "thalweg", "b");
  assert.equal(besideProposed(dam, own, [line("a", 4), line("b", -19)], here(5)).answers["thalweg"], "b");
  const none = changed(dam, besideProposed(dam, newForm(dam, []), [line("a", 4)], here(5)), "thalweg", "");
  assert.equal(besideProposed(dam, none, [line("a", 4)], here(5)).answers["thalweg"], "", "said to stand in none");
});

test("an edit leaves to visits what visits measure, with how it was measured", () => {
  const offered = (name: string, without: readonly string[]) => {
    const rows = rowsOf(kindNamed(name), emptyForm, without);
    return [...rows.first, ...rows.more].map((f) => f.name);
  };
  for (const [kind, field] of [
    ["check-dam", "sedimentDepthM"],
    ["scald", "coverPct"],
    ["cover-plot", "coverPct"],
  ] as const) {
    const without = measuredAtVisits(kindNamed(kind));
    assert.ok(without.includes(field), `${kind}: ${without.join(", ")}`);
    assert.ok(offered(kind, []).includes(field));
    assert.ok(!offered(kind, without).includes(field));
  }
  assert.ok(offered("check-dam", measuredAtVisits(kindNamed("check-dam"))).includes("crestHeightM"));
  assert.deepEqual(measuredAtVisits(kindNamed("visit")), []);
});

test("what a save was refused for goes when its answer is given, and only then", () => {
  const dam = kindNamed("check-dam");
  const typed = changed(dam, changed(dam, emptyForm, "crestHeightM", "0.5"), "crestLengthM", "99999");
  const refused = filled(dam, typed.answers, {}).wrong;
  assert.deepEqual(Object.keys(refused).sort(), ["crestHeightBasis", "crestLengthM"]);
  const explained = changed(dam, typed, "crestHeightBasis", "taped");
  assert.deepEqual(Object.keys(stillWrong(refused, filled(dam, explained.answers, {}))), ["crestLengthM"]);
  const half = changed(dam, explained, "crestLengthM", "3x");
  assert.deepEqual(stillWrong(refused, filled(dam, half.answers, {})), {}, "what is typed meanwhile is judged by the next save");
});

const paddock = (id: string, ...rings: readonly (readonly (readonly [number, number])[])[]): Feature =>
  feature(id, id, {
    kind: "paddock",
    geometry: { type: "Polygon", coordinates: rings.map((ring) => ring.map(([e, n]) => [146.5 + e / 104647, -20 + n / 110704])) },
  });
const box = (low: number, high: number) =>
  [
    [low, low],
    [high, low],
    [high, high],
    [low, high],
    [low, low],
  ] as const;

test("the paddock around a place is proposed where the fix is clear of its fences", () => {
  const assessed = kindNamed("pasture-assessment");
  const cases: readonly [string, readonly Feature[], number, string | undefined][] = [
    ["well inside", [paddock("a", box(-100, 300)), paddock("b", box(300, 700))], 5, "a"],
    ["nearer to the fence than the fix is good", [paddock("a", box(-100, 300))], 120, undefined],
    ["outside", [paddock("b", box(300, 700))], 5, undefined],
    ["in a hole of it", [paddock("a", box(-100, 300), box(-50, 50))], 5, undefined],
    ["in two that overlap", [paddock("a", box(-100, 300)), paddock("b", box(-200, 400))], 5, undefined],
  ];
  for (const [say, features, accuracyM, want] of cases)
    assert.equal(besideProposed(assessed, newForm(assessed, []), features, here(accuracyM)).answers["paddock"], want, say);
});
