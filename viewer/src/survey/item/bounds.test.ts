// What is read of an item, where a word or a neighbour just changes.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { fieldNamed, kindNamed } from "../../base/kinds.ts";
import type { Figure } from "../../compute/sheets.ts";
import type { Disagreement, Recorded } from "../../storage/store.ts";
import { actsOf } from "./acts.ts";
import { factsOf, factText, figureText, glance, missing, tooRough, verdictWords } from "./facts.ts";
import { gullyOf, relatedTo } from "./related.ts";
import { labelOf, settling, sideWords } from "./sides.ts";
import { same, undoing } from "./undo.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "1", unsent: 0 },
  ...more,
});
const figure = (more: Partial<Figure>): Figure => ({
  name: "heightM",
  label: "Height",
  value: 1,
  unit: "m",
  basis: "taped",
  rule: "",
  ...more,
});

test("dams of a gully follow each other up it, those that nobody placed last", () => {
  const dam = (id: string, chainageM?: number, thalweg = "g") =>
    feature(id, { kind: "check-dam", ...(chainageM !== undefined && { chainageM }), ...(thalweg && { thalweg }) });
  const gully = feature("g", { kind: "thalweg" });
  const all = [
    gully,
    dam("c", 30),
    dam("a", 10),
    dam("b", 20),
    dam("x"),
    dam("z", 5, ""),
    dam("far", 1, "other"),
    feature("peg", { kind: "peg", thalweg: "g" }),
  ];
  const related = (id: string, section?: { id: string; chainageM: number }[]) =>
    Object.fromEntries(
      relatedTo(all.find((f) => f.id === id)!, all, section).map(({ label, items }) => [label, items.map((f) => f.id).join()]),
    );
  assert.deepEqual(related("g"), { "Dams in it, going upstream": "a,b,c,x" });
  assert.deepEqual(
    related("g", [{ id: "z", chainageM: 15 }]),
    { "Dams in it, going upstream": "a,z,b,c,x" },
    "one that stands in it by its level run",
  );
  assert.deepEqual(related("a"), { "In the gully": "g", "Next dam upstream": "b" });
  assert.deepEqual(related("b"), { "In the gully": "g", "Next dam downstream": "a", "Next dam upstream": "c" });
  assert.deepEqual(related("c"), { "In the gully": "g", "Next dam downstream": "b" });
  assert.deepEqual(related("x"), { "In the gully": "g" }, "nobody knows where it stands");
  assert.deepEqual(related("z"), {});
  assert.deepEqual(
    [gully, dam("a"), dam("z", 5, ""), feature("peg", { kind: "peg", thalweg: "g" })].map(gullyOf),
    ["g", "g", undefined, undefined],
    "whose long section orders them",
  );
  const run = feature("r", {
    kind: "level-run",
    rows: [{ point: "", feature: "a" }, { point: "", feature: "b", struck: true }, { point: "", feature: "a" }, { point: "" }],
  });
  assert.deepEqual(
    relatedTo(run, [...all, run]).map(({ label, items }) => [label, items.map((f) => f.id).join()]),
    [["Levelled in it", "a,g"]],
  );
  const levelled = feature("r2", {
    kind: "level-run",
    rows: [
      { point: "", feature: "a" },
      { point: "", feature: "g" },
    ],
  });
  assert.deepEqual(
    relatedTo(levelled, [...all, levelled])[0]!
      .items.map((f) => f.id)
      .join(),
    "a,g",
  );
});

test("both sides of a clash are told apart", () => {
  const side = (value: unknown, set: Fields = {}, before: Fields = {}) => ({
    value,
    entry: "e",
    device: "d",
    author: "R. Field",
    seenAt: "2026-03-01T10:00:00Z",
    set,
    before,
  });
  const words = (field: string, kind: string, a: ReturnType<typeof side>, b: ReturnType<typeof side>) => {
    const f = feature("f", { kind });
    const clash: Disagreement = { field, sides: [a, b] };
    return sideWords(f, clash, a, [f]);
  };
  assert.equal(words("strike", "peg", side(true), side({})), "Struck out");
  assert.equal(words("strike", "peg", side(false), side({})), "Restored");
  assert.equal(words("strike", "peg", side({}), side(true)), "Kept, and edited");
  assert.equal(
    words("strike", "peg", side({ name: "A", notes: null, geometry: {}, unknown: 1 }), side(true)),
    "Kept, and edited: name A, notes left empty",
  );
  assert.equal(words("name", "peg", side(null), side("A")), "left empty");
  assert.equal(words("name", "peg", side("A"), side("B")), "A");
  assert.equal(words("crestHeightM", "check-dam", side(0.5, { crestHeightBasis: "taped" }), side(0.6)), "0.5 m, by tape");
  assert.equal(words("crestHeightM", "check-dam", side(0.5, {}, { crestHeightBasis: "estimated" }), side(0.6)), "0.5 m, estimated");
  assert.match(words("crestHeightM", "check-dam", side(0.5), side(0.6)), /^0\.5 m, how it was measured is not recorded$/);
  assert.equal(words("unheard", "peg", side([1]), side(2)), "[1]");
  const rows = (...list: unknown[]) => side(list);
  assert.equal(
    words("rows", "level-run", rows({ point: "A", bs: 1 }, { point: "B", fs: 2 }), rows({ point: "A", bs: 1 }, { point: "B", fs: 2 })),
    "2 rows",
  );
  assert.equal(
    words("rows", "level-run", rows({ point: "A", bs: 1, struck: true }), rows({ point: "A", bs: 2, is: 3 })),
    "1 rows; row 1: backsight 1, struck out yes, no intermediate",
  );
  assert.equal(words("rows", "level-run", rows({ point: "A" }), rows({ point: "A", bs: null })), "1 rows");
  const many = (n: number) => words("rows", "level-run", rows(...Array.from({ length: n }, () => ({ bs: 1 }))), rows());
  assert.ok(!many(4).includes("more") && many(5).endsWith("and 1 rows more"));
  const line = (...coordinates: number[][]) =>
    side({ type: "MultiLineString", coordinates: [coordinates.slice(0, 2), coordinates.slice(2)] });
  assert.match(
    words("geometry", "track", line([146, -20], [146, -20.001], [146, -20.002], [146, -20.003]), side(null)),
    /^4 points, about 22\d m long, ± not known$/,
  );
  const point = (lat: number) => side({ type: "Point", coordinates: [146, lat] }, { accuracyM: 4, positionBasis: "GPS" });
  assert.match(
    words("geometry", "peg", point(-20), point(-20.001)),
    /^A point, by GPS, ±4 m, 110 m from the other$|^A point, by GPS, ±4 m, 111 m from the other$/,
  );
  const f = feature("f", { kind: "check-dam" });
  assert.deepEqual([labelOf(f, "strike"), labelOf(f, "unheard")], ["Struck out or kept", "unheard"]);
  assert.deepEqual(settling(f, { field: "strike", sides: [] }, side(true)), { feature: "f", strike: true });
  const taped = { crestHeightBasis: "taped" };
  for (const [other, mine, want] of [
    [side(0.5), side(0.6), { crestHeightM: 0.6 }],
    [side(0.5, taped), side(0.6), { crestHeightM: 0.6, crestHeightBasis: null }],
    [side(0.5), side(0.6, {}, taped), { crestHeightM: 0.6, crestHeightBasis: "taped" }],
    [side(0.5, { crestHeightBasis: null }), side(0.6), { crestHeightM: 0.6, crestHeightBasis: null }],
  ] as const)
    assert.deepEqual(settling(f, { field: "crestHeightM", sides: [other, mine] }, mine).set, want, "how it was measured goes with it");
});

test("figures in words, at their bounds", () => {
  assert.deepEqual(
    [9.99, 10].map((value) => figureText(figure({ value })).value),
    ["9.99 m", "10.0 m"],
  );
  assert.equal(figureText(figure({ name: "chainageM", value: 20 })).value, "20.0 m");
  const of = (chainageM: number, chainageBasis?: string) =>
    feature("d", { kind: "check-dam", chainageM, ...(chainageBasis && { chainageBasis }) });
  const chainage = (booked: Feature, value: number, basis: Figure["basis"] = "taped") =>
    figureText(figure({ name: "chainageM", value, basis }), booked).value;
  assert.equal(chainage(of(20), 20), "20.0 m up from the downstream end");
  assert.equal(chainage(of(20), 100), "20 m from the head, 100.0 m up from the downstream end");
  assert.equal(chainage(of(20, "GPS"), 100), "100.0 m up from the downstream end", "the tape's figure is not the GPS one");
  assert.equal(chainage(of(20), 20.001), "20 m from the head, 20.0 m up from the downstream end");
  assert.equal(figureText(figure({ name: "heightM" }), of(20)).value, "1.00 m");
  const rough = (more: Partial<Figure>) => tooRough(figure({ basis: "GPS", value: 10, ...more }));
  assert.deepEqual(
    [
      rough({ plusMinus: 5 }),
      rough({ plusMinus: 4.9 }),
      rough({}),
      rough({ plusMinus: 5, basis: "taped" }),
      rough({ plusMinus: 5, name: "stepM" }),
    ],
    [true, false, false, false, false],
  );
  const check = (name: string, verdict: "OK" | "fails" | "not levelled", text: string, rule = "") =>
    verdictWords({ name, verdict, text, rule });
  assert.equal(check("dam-check", "not levelled", "Its toe is levelled, its crest is not"), "Toe levelled, crest not");
  assert.equal(check("other", "not levelled", "Its toe is levelled"), "Not levelled");
  assert.deepEqual([check("level-run", "fails", ""), check("level-run", "not levelled", "")], ["Not closed", "Not closed yet"]);
  for (const verdict of ["fails", "not levelled"] as const)
    assert.equal(check("level-run", verdict, "The run is closed as far as Start, but not since. It goes on."), "Closed in part");
  const sheet = (...figures: Figure[]) => ({ figures, checks: [], cautions: [] });
  assert.deepEqual([glance(undefined, ""), glance(sheet(), ""), glance(sheet(figure({})), "")], ["Calculating…", "", "Height 1.00 m"]);
  assert.match(glance(sheet(), "", "", 1), /^In doubt/);
});

test("facts as they were recorded", () => {
  const level = fieldNamed("benchmark", "levelM");
  assert.deepEqual([factText(level, 100.5, []), factText(level, "100.5", [])], ["100.500 m", "100.5 m"]);
  const dam = (more: Fields) => feature("d", { kind: "check-dam", crestHeightM: 0.5, crestHeightBasis: "taped", ...more });
  const shown = (of: Feature, ...figures: Figure[]) =>
    factsOf(of, [of], undefined, undefined, { figures, cautions: [] }).map((f) => f.name);
  const crest = (value: number, basis: Figure["basis"]) => figure({ name: "crestHeightM", value, basis });
  assert.equal(shown(dam({}), crest(0.5, "taped")).includes("crestHeightM"), false);
  assert.equal(shown(dam({}), crest(0.6, "taped")).includes("crestHeightM"), true);
  assert.equal(shown(dam({}), crest(0.5, "GPS")).includes("crestHeightM"), true);
  const lacks = (more: Fields) =>
    missing(kindNamed("check-dam"), feature("d", { kind: "check-dam", ...more }))
      .map((f) => f.name)
      .includes("crestHeightM");
  const pegged = { targetCrestLevelM: 100.6, status: "pegged" };
  assert.deepEqual(
    [lacks({}), lacks({ crestHeightM: 0.5 }), lacks(pegged), lacks({ ...pegged, status: "built" }), lacks({ status: "pegged" })],
    [true, false, false, true, true],
  );
  const others = missing(kindNamed("gully-head"), feature("h", { kind: "gully-head", ...pegged })).length;
  assert.equal(others, missing(kindNamed("gully-head"), feature("h", { kind: "gully-head" })).length);
});

let made = 0;
const entry = (of: string, set: Fields | undefined, savedMS: number, more: Partial<Recorded> = {}, strike?: boolean): Recorded => ({
  entry: {
    ...{
      v: 1,
      id: `e${++made}`,
      property: "p",
      feature: of,
      device: "d",
      deviceSeq: made,
      stamp: String(made).padStart(16, "0"),
      seenAt: "",
      author: "",
    },
    ...(set && { set }),
    ...(strike !== undefined && { strike }),
  },
  savedMS,
  ...{ waits: false, refused: false },
  ...more,
});

test("a book that is saved row by row is told once, with all that waits of it", () => {
  const run = feature("r", { kind: "level-run", rows: [1, 2] });
  const recorded = [
    entry("r", { rows: [1] }, 1, { waits: true }),
    entry("r", { rows: [1, 2] }, 2, { waits: true, refused: true }),
    entry("r", { name: "Run" }, 3, { refused: true }),
  ];
  const acts = actsOf(recorded, [run]);
  assert.deepEqual(
    acts.map((a) => [a.did, a.waits, a.refused, a.entries.length]),
    [
      ["edited: name", 0, 1, 1],
      ["rows booked", 2, 1, 2],
    ],
  );
});

test("undoing takes back what still stands, and values are the same whatever their order", () => {
  const first = entry("f", { kind: "peg" }, 1),
    strike = entry("f", undefined, 2, {}, true),
    photos = entry("f", { photos: ["a", "b"] }, 3);
  const now = (more: Partial<Feature>, fields: Fields = {}) => feature("f", { kind: "peg", ...fields }, more);
  const undo = (r: Recorded, of: Feature) => undoing(new Set([r.entry.id]), [{ now: of, history: [first, strike, photos] }]);
  assert.deepEqual(undo(strike, now({ struck: true })), [{ feature: "f", strike: false }]);
  assert.deepEqual(undo(strike, now({ struck: false })), []);
  assert.deepEqual(undo(photos, now({}, { photos: ["a", "c"] })), [{ feature: "f", set: { photos: ["c"] } }]);
  assert.deepEqual(undo(photos, now({}, { photos: ["c"] })), []);
  assert.deepEqual(undo(photos, now({}, { photos: ["a"] })), [{ feature: "f", set: { photos: null } }]);
  for (const [a, b, want] of [
    [{ x: 1, y: [2] }, { y: [2], x: 1 }, true],
    [{ x: 1 }, { x: 1, y: 2 }, false],
    [[1], { 0: 1 }, false],
    [null, {}, false],
    [{}, null, false],
    [1, {}, false],
    [{}, 1, false],
    ["a", "b", false],
  ] as const)
    assert.equal(same(a, b), want, JSON.stringify([a, b]));
});
