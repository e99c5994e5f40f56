import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { kindNamed } from "../../base/kinds.ts";
import type { Figure, Sheet } from "../../compute/sheets.ts";
import { glance, factsOf, figureText, missing, tooRough, verdictWords } from "./facts.ts";

const feature = (id: string, fields: Fields): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: ["notes"],
  saw: {},
  stamp: "0",
  unsent: 0,
});

test("a thing is read in the words of its kind's row", () => {
  const gully = feature("t", { kind: "thalweg", name: "Lantern Gully" });
  const dam = feature("d", {
    kind: "check-dam",
    crestHeightM: 0.5,
    thalweg: "t",
    builtOn: "2026-11-05",
    sensitive: false,
    notes: "x",
    status: null,
  });
  assert.deepEqual(
    factsOf(dam, [gully, dam]).map((f) => [f.label, f.text, f.clash]),
    [
      ["Crest above bed", "0.5 m", false],
      ["In the gully", "Lantern Gully", false],
      ["Notes", "x", true],
      ["Sensitive", "no", false],
      ["Built on", "5 November 2026", false],
    ],
  );
  assert.deepEqual(
    missing(kindNamed("check-dam"), dam).map((f) => f.name),
    ["status"],
  );
});

test("a level that a plan wants is nobody's reading", () => {
  const dam = feature("d", { kind: "check-dam", levelRun: "r", toeLevelM: 98.02, targetToeLevelM: 98.002 });
  assert.deepEqual(
    factsOf(dam, [dam])
      .map((f) => `${f.label}: ${f.text}`)
      .filter((f) => f.startsWith("Toe")),
    ["Toe as pegged: 98.020 m, by level and staff, ± not known", "Toe to be pegged at: 98.002 m, from the plan"],
  );
});

test("a value that stands among the figures is not said twice", () => {
  const dam = feature("d", { kind: "check-dam", chainageM: 123.1, chainageBasis: "taped" });
  const chainage = { name: "chainageM", label: "Chainage", value: 123.1, unit: "m", plusMinus: 0.05, basis: "taped" as const, rule: "" };
  const told = (...figures: Figure[]) =>
    factsOf(dam, [], undefined, undefined, { figures, cautions: [] }).map((f) => `${f.label}: ${f.text}`);
  assert.deepEqual(told(chainage), []);
  assert.deepEqual(told(), ["Chainage: 123.1 m, by tape"]);
  assert.deepEqual(told({ ...chainage, value: 80.9 }), [], "one that was turned stands with its figure");
  const head = { ...chainage, value: 10, plusMinus: 0.05 }; // 120 m of bed, booked from the head: 120 − 110
  const booked = feature("d", { kind: "check-dam", chainageM: 110, chainageBasis: "taped" });
  assert.equal(figureText(head, booked).value, "110 m from the head, 10.00 ± 0.05 m up from the downstream end");
  assert.equal(figureText(chainage, dam).value, "123.10 ± 0.05 m up from the downstream end");
  assert.deepEqual(told({ ...chainage, basis: "GPS" }), ["Chainage, as entered: 123.1 m, by tape"]);
});

test("what was typed and a figure of another value are told apart", () => {
  const dam = feature("d", { kind: "check-dam", crestHeightM: 0.4, crestHeightBasis: "taped" });
  const levelled = {
    name: "crestHeightM",
    label: "Crest above bed",
    value: 0.42,
    unit: "m",
    plusMinus: 0.003,
    basis: "levelled" as const,
    rule: "",
  };
  const labels = (figures: Figure[]) => factsOf(dam, [], undefined, undefined, { figures, cautions: [] }).map((f) => f.label);
  assert.deepEqual(labels([levelled]), ["Crest above bed, as entered"]);
  assert.deepEqual(labels([{ ...levelled, name: "stepM" }]), ["Crest above bed"]);
});

test("a level and a fall that were pegged by a level run have no ±, and say so", () => {
  const pegged = { kind: "whoa-boy", levelM: 100.3425, trackSlopePct: 4.8, levelRun: "r", fromAboveM: 20, fromAboveBasis: "taped" };
  const told = (sheet: Partial<Sheet> = {}) =>
    factsOf(feature("w", pegged), [], undefined, undefined, { figures: [], cautions: [], ...sheet })
      .filter((f) => f.name !== "levelRun")
      .map((f) => `${f.label}: ${f.text}`);
  assert.deepEqual(told(), [
    "Down from the bank or top above: 20 m, by tape",
    "Ground as pegged: 100.343 m, by level and staff, ± not known",
    "Fall of the track above it: 4.8 %, by level and staff, ± not known",
  ]);
  const figure = { name: "levelM", label: "Level", value: 100.34, unit: "m", plusMinus: 0.01, basis: "levelled" as const, rule: "" };
  assert.ok(told({ figures: [figure] }).includes("Ground as pegged: 100.343 m"), "its figure has the ±");
  const open = { cautions: [{ about: "levelM", text: "Its levels are not yet checked by a closed level run." }] };
  assert.deepEqual(
    told(open).slice(1),
    [
      "Ground as pegged: 100.343 m, not yet checked by a closed level run, so its ± is not known",
      "Fall of the track above it: 4.8 %, not yet checked by a closed level run, so its ± is not known",
    ],
    "the run is not closed",
  );
  const mark = feature("b", { kind: "benchmark", levelM: 100 });
  assert.ok(
    factsOf(mark, []).some((f) => f.name === "levelM" && f.text === "100.000 m"),
    "a level that was given",
  );
});

test("a built work whose day nobody gave lacks it", () => {
  const lacks = (fields: Fields) => missing(kindNamed("windrow"), feature("w", { kind: "windrow", ...fields })).map((f) => f.name);
  assert.deepEqual(lacks({ status: "built" }), ["builtOn"]);
  assert.deepEqual(lacks({ status: "built", builtOn: "2026-11-05" }), []);
  assert.deepEqual(lacks({ status: "pegged" }), [], "only what is built is due after wet seasons");
});

test("a chainage that no figure turns says from which end it counts", () => {
  for (const [kind, want] of [
    ["whoa-boy", "Chainage from the upper end: 41.1 m, by tape"],
    ["peg", "Chainage from the first peg: 41.1 m, by tape"],
  ] as const) {
    const [fact] = factsOf(feature("f", { kind, chainageM: 41.1, chainageBasis: "taped" }), []);
    assert.equal(`${fact?.label}: ${fact?.text}`, want);
  }
});

test("a degree sign stands at its number, other units apart", () => {
  const point = feature("p", { kind: "photo-point", bearingDeg: 121 });
  const batter = feature("b", { kind: "batter", heightM: 0.8, runPerRise: 3 });
  assert.ok(
    factsOf(point, []).some((f) => f.text === "121°"),
    JSON.stringify(factsOf(point, [])),
  );
  assert.deepEqual(
    factsOf(batter, []).map((f) => `${f.label}: ${f.text}`),
    ["Height of wall: 0.8 m", "Slope: 1 in 3"],
  );
});

test("the end of a gully where chainage 0 is has its name on the ground", () => {
  const drawn = {
    kind: "thalweg",
    chainageZero: "end of the line",
    geometry: {
      type: "LineString",
      coordinates: [
        [146.5, -20.25],
        [146.5, -20.249],
      ],
    },
  };
  const read = (fields: Fields) => factsOf(feature("t", fields), []).map((f) => `${f.label} ${f.text}`);
  assert.deepEqual(read(drawn), ["Chainage 0 of the level book is at the north end"]);
  assert.deepEqual(read({ ...drawn, chainageZero: "start of the line" }), ["Chainage 0 of the level book is at the south end"]);
  const [south, north] = drawn.geometry.coordinates as [[number, number], [number, number]];
  const withGap = {
    type: "MultiLineString",
    coordinates: [
      [south, [146.5, -20.2496]],
      [[146.5, -20.2494], north],
    ],
  };
  assert.deepEqual(read({ ...drawn, geometry: withGap }), ["Chainage 0 of the level book is at the north end"]);
  assert.deepEqual(read({ ...drawn, geometry: null }), ["Chainage 0 of the level book is at the end of the line"]);
});

test("a figure is told with as many decimals as it deserves", () => {
  const figure = { name: "x", label: "X", rule: "" };
  const cases = [
    [{ ...figure, value: 9.04, unit: "m", plusMinus: 0.43, basis: "taped" }, "9.0 ± 0.4 m", "by tape"],
    [{ ...figure, value: 9.04, unit: "m", plusMinus: 7.2, basis: "GPS" }, "9 ± 7 m", "by GPS"],
    [{ ...figure, value: 0.1845, unit: "m", plusMinus: 0.0028, basis: "levelled" }, "0.185 ± 0.003 m", "by level and staff"],
    [{ ...figure, value: 3, unit: "1", plusMinus: 0, basis: "taped" }, "3.00", "by tape"],
    [
      { ...figure, value: 512.3, unit: "m2", basis: "unproven" },
      "512.3 m²",
      "not yet checked by a closed level run, so its ± is not known",
    ],
    [{ ...figure, value: 12.3, unit: "deg", plusMinus: 1, basis: "GPS" }, "12.3 ± 1.0°", "by GPS"],
    [{ ...figure, value: 790.2, unit: "m2", plusMinus: 172, basis: "GPS" }, "790 ± 170 m²", "by GPS"],
    [{ ...figure, value: 43.21, unit: "m", basis: "GPS" }, "43.2 m", "by GPS, ± not known: no accuracy was recorded with the positions"],
    [
      { ...figure, name: "misclosureM", value: -0.005, unit: "m", plusMinus: 0.0045, basis: "levelled" },
      "\u22125.0 ± 4.5 mm",
      "by level and staff",
    ],
    [{ ...figure, name: "allowableM", value: 0.00707, unit: "m", plusMinus: 0, basis: "levelled" }, "7.1 mm", "by level and staff"],
  ] as const;
  for (const [f, value, how] of cases) assert.deepEqual(figureText(f), { value, how }, value);
  assert.equal(tooRough({ ...figure, value: 9, unit: "m", plusMinus: 7, basis: "GPS" }), true);
  assert.equal(tooRough({ ...figure, value: -10, unit: "m", plusMinus: 5, basis: "GPS" }), true, "half of it");
  assert.equal(tooRough({ ...figure, value: -10, unit: "m", plusMinus: 4.9, basis: "GPS" }), false, "just less than half");
  assert.equal(tooRough({ ...figure, value: 0, unit: "m", plusMinus: 0, basis: "GPS" }), false, "no doubt");
  assert.equal(tooRough({ ...figure, value: 9, unit: "m", plusMinus: 0.4, basis: "taped" }), false);
  assert.equal(tooRough({ ...figure, value: 0.01, unit: "m", plusMinus: 0.02, basis: "levelled" }), false, "levelled near zero");
  assert.equal(tooRough({ ...figure, name: "chainageM", value: 0, unit: "m", plusMinus: 5, basis: "GPS" }), false, "the downstream end");
});

test("a check answers in the trade's words", () => {
  const said = (name: string, verdict: "OK" | "fails" | "not levelled", text = "", rule = "") =>
    verdictWords({ name, verdict, text, rule });
  assert.deepEqual(
    [
      said("dam-check", "OK"),
      said("dam-check", "fails", "Its crest is 0.20 m below the toe of Dam 2: a gap."),
      said("dam-check", "fails", "Its crest is above the toe of Dam 2: that toe will drown in silt."),
      said("contour-check", "fails"),
      said("contour-check", "fails", "", "contour-check: a whoa-boy falls to an end"),
      said("level-run", "fails"),
      said("level-run", "not levelled"),
      said("dam-check", "not levelled"),
    ],
    ["OK", "Gap", "Drowned toe", "Off contour", "Does not drain", "Not closed", "Not closed yet", "Not levelled"],
  );
});

test("a glance tells the worst that came out, or that it is not there yet", () => {
  const check = (verdict: "OK" | "fails" | "not levelled") => ({ name: "contour-check", verdict, text: "", rule: "" });
  const sheet = (...verdicts: ("OK" | "fails" | "not levelled")[]) => ({ figures: [], checks: verdicts.map(check), cautions: [] });
  assert.equal(glance(undefined, ""), "Calculating…");
  assert.equal(glance(undefined, "not on this phone"), "Not calculated: see below");
  assert.equal(glance(sheet("OK", "fails", "not levelled"), ""), "Off contour: see below");
  assert.equal(glance(sheet("OK", "not levelled"), ""), "Not levelled: see below");
  assert.equal(glance(sheet("OK"), ""), "OK: see below");
  assert.equal(glance(sheet("OK"), "", "needs work"), "Levels OK, but see the condition");
  assert.equal(glance(sheet("fails"), "", "needs work"), "Off contour: see below");
  assert.equal(glance(sheet("OK"), "", "", 1), "In doubt: two people recorded different values");
  assert.equal(glance(sheet(), ""), "", "a gate has no figures, and its page says nothing of it");
  const measured = {
    figures: [{ name: "lengthM", label: "Length", value: 61.2, unit: "m", plusMinus: 11, basis: "GPS" as const, rule: "" }],
    checks: [],
  };
  assert.equal(glance({ ...measured, cautions: [] }, ""), "Length 61 ± 11 m");
  assert.equal(
    glance({ ...measured, cautions: [{ about: "lengthM", text: "Its length leaves out a gap of 50 m that was not recorded." }] }, ""),
    "Length 61 ± 11 m, caution below",
  );
});

test("the day of a visit is called by what was done on it, and a counted cover keeps its range", () => {
  const plot = feature("p", { kind: "cover-plot", observedOn: "2025-03-18", coverPct: 5 });
  const visit = feature("v", { kind: "visit", of: "p", observedOn: "2026-05-13", coverPct: 72, coverHits: 72, coverPoints: 100 });
  const photo = feature("f", { kind: "visit", of: "p", observedOn: "2026-05-13", photos: ["a"] });
  const told = (f: Feature, newest?: Parameters<typeof factsOf>[2], ranges?: Parameters<typeof factsOf>[3]) =>
    factsOf(f, [plot, visit, photo], newest, ranges).map((x) => `${x.label}: ${x.text}`);
  const ranges = new Map([["v", "between 62 % and 80 %"]]);
  assert.ok(told(photo).includes("Taken on: 13 May 2026"), told(photo).join("; "));
  assert.ok(told(visit, undefined, ranges).includes("Visited on: 13 May 2026"));
  assert.ok(
    told(visit, undefined, ranges).includes("Ground cover: 72 %, between 62 % and 80 %"),
    told(visit, undefined, ranges).join("; "),
  );
  const newest = { measured: [{ name: "coverPct", value: 72, on: "2026-05-13", visit: "v" }] };
  assert.ok(
    told(plot, newest, ranges).includes("Ground cover: 72 % (between 62 % and 80 %), 13 May 2026"),
    told(plot, newest, ranges).join("; "),
  );
  assert.ok(told(plot).includes("Date recorded: 18 March 2025"));
});
