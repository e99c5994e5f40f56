// What is asked of the planning, and how its answers are read.

import assert from "node:assert/strict";
import test from "node:test";
import type { Outcome } from "../../compute/plan.ts";
import type { SectionDam } from "../../section/section.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import { askBanks, askDams, askFlow, askHeights, changedSince, draftsOf, runsOf, usualHeight, worksIn } from "./ask.ts";
import { earlierWorks } from "../item/takingback.ts";
import { bankLines, type Spaced } from "./banks.ts";
import { damLines, heightChoices, type Layout, plannedSection } from "./dams.ts";

export const outcome = (more: Partial<Outcome> = {}): Outcome => ({
  plans: "dams",
  of: { feature: "t", kind: "thalweg", name: "G1" },
  computation: "dam-layout",
  ...{ refused: [], missing: [], leftOut: [], used: [], others: [], says: [] },
  ...more,
});

test("only what the officer chose is asked for: the rest comes from the property and the computation", () => {
  const nothing = { height: "", slope: "", run: "" };
  assert.deepEqual(askDams("t", nothing), { of: "t", plans: "dams", given: {} });
  assert.deepEqual(askDams("t", { height: "0.5", slope: "0", run: "r" }), {
    ...{ of: "t", plans: "dams", run: "r" },
    given: { crestHeightM: 0.5, depositSlopePct: 0 },
  });
  assert.deepEqual(
    askHeights("t", { ...nothing, height: "0.5", slope: "1" }),
    { of: "t", plans: "dams", given: { depositSlopePct: 1 }, compare: { crestHeightM: [0.3, 0.4, 0.5] } },
    "all heights, whichever is chosen",
  );
  assert.deepEqual(askBanks("k", { side: "", zeroAt: "", run: "" }), { of: "k", plans: "whoa-boys" });
  assert.deepEqual(askBanks("k", { side: "left", zeroAt: "end of the line", run: "" }), {
    ...{ of: "k", plans: "whoa-boys", zeroAt: "end of the line" },
    given: { side: "left" },
  });
  assert.deepEqual(askFlow("h", { intensityMmH: 80, coefficient: undefined }).given, { intensityMmH: 80 });
});

test("the height shown first is that of the property, else the usual one, and none where two phones set it differently", () => {
  const settings = (fields: Fields, clashes: readonly string[] = []) => ({ id: "s", fields, clashes }) as unknown as Feature;
  const set = { kind: "settings", damCrestHeightM: 0.35 };
  assert.deepEqual([undefined, settings({}), settings(set), settings(set, ["damCrestHeightM"])].map(usualHeight), [
    "0.4",
    "0.4",
    "0.35",
    "",
  ]);
});

test("the level run used is offered beside the others, the newest first", () => {
  const run = (feature: string, on: string) => ({ feature, kind: "level-run", name: feature, on });
  const others = [
    { ...run("old", "2025-01-02"), levels: 1, fromM: 0, toM: 20.4 },
    { ...run("new", "2026-05-03"), levels: 12, fromM: 0, toM: 100 },
  ];
  const used = [
    { feature: "t", kind: "thalweg", name: "G1", version: "1", what: "the line" },
    { ...run("mid", "2026-01-02"), version: "1", what: "the bed" },
  ];
  assert.deepEqual(runsOf(outcome({ used, others })), {
    used: "mid",
    all: [
      { id: "new", words: "new, 3 May 2026, 12 levels from 0 to 100 m" },
      { id: "mid", words: "mid, 2 January 2026" },
      { id: "old", words: "old, 2 January 2025, 1 level from 0 to 20 m" },
    ],
  });
  assert.deepEqual(runsOf(outcome()), { used: undefined, all: [] });
});

test("adopting saves the plan with its works, and counts the works alone", () => {
  const adoption = {
    ...{ plan: "p", known: 0, says: [] },
    changes: [
      { feature: "d", kind: "check-dam", new: true as const, fields: { kind: "check-dam" } },
      { feature: "p", kind: "plan", new: true as const, fields: { kind: "plan" } },
    ],
  };
  assert.deepEqual([worksIn(adoption).length, draftsOf(adoption).map((d) => d.feature)], [1, ["d", "p"]]);
});

test("what became of the base of a plan is told while its works are proposed", () => {
  const feature = (id: string, fields: Fields, struck = false) => ({ id, fields, struck }) as unknown as Feature;
  const plan = feature("p", { kind: "plan", name: "Dams along G1", of: "t" });
  const work = (status: string, struck = false) => feature("d", { kind: "check-dam", status, plan: "p" }, struck);
  const changed = { p: [{ feature: "r", what: "Run 1 was edited since." }], q: [{ feature: "r", what: "Run 2 was edited since." }] };
  assert.deepEqual(changedSince("t", [plan, work("proposed")], changed), [
    "What “Dams along G1” was planned on has changed: Run 1 was edited since. Plan again and adopt.",
  ]);
  const quiet = [[work("pegged")], [work("proposed", true)], []].map((works) => changedSince("t", [plan, ...works], changed));
  assert.deepEqual(
    [...quiet, changedSince("u", [plan, work("proposed")], changed), changedSince("t", [plan, work("proposed")], {})].flat(),
    [],
  );
});

test("of an earlier plan those works are left which nobody pegged, measured or visited", () => {
  const feature = (id: string, fields: Fields, struck = false) => ({ id, fields, struck }) as unknown as Feature;
  const dam = (id: string, more: Fields = {}, struck = false) =>
    feature(id, { kind: "check-dam", status: "proposed", plan: "old", thalweg: "t", chainageBasis: "from plan", ...more }, struck);
  const features = [
    dam("left"),
    dam("placed from the plan", { positionBasis: "from plan" }),
    dam("of this plan", { plan: "new" }),
    dam("of no plan", { plan: null }),
    dam("of another gully", { thalweg: "u" }),
    dam("pegged", { status: "pegged" }),
    dam("taped", { chainageBasis: "taped" }),
    dam("placed", { positionBasis: "GPS" }),
    dam("struck out", {}, true),
    dam("visited"),
    feature("v", { kind: "visit", of: "visited" }),
    feature("bank", { kind: "whoa-boy", status: "proposed", plan: "old", track: "t" }),
  ];
  assert.deepEqual(
    earlierWorks("new", "t", features).map((f) => f.id),
    ["left", "placed from the plan", "bank"],
  );
});

const dam = (chainageM: number, bedLevelM: number, stands = "level with the crest below") => ({
  ...{ chainageM, bedLevelM, crestLevelM: bedLevelM + 0.4, stands, why: "", buriedM: 0, siltToM: chainageM + 10 },
});
export const layout = {
  dams: [dam(0, 100, "first"), dam(10, 100.4), dam(22, 101.2, "below a head")],
  crestHeightM: 0.4,
  depositSlopePct: 0,
  guardedM: 32.4,
  basis: "levelled",
  bed: [
    { chainageM: 0, levelM: 100 },
    { chainageM: 30, levelM: 101.5 },
  ],
  cautions: [{ text: "Look out." }],
} as unknown as Layout;

test("heights are compared by how many dams each takes, with the one of the plan", () => {
  const said = { says: [], refused: [] };
  const compared = [
    ...[0.3, 0.5].map((heightM, i) => ({ value: heightM, heightM, count: 2 - i, ...said })),
    { ...said, value: 0.6, refused: ["too steep"] },
  ];
  const shown = { ...layout, count: 3 };
  assert.deepEqual(heightChoices(compared, shown), [
    { value: "0.3", label: "0.3\u00a0m: 2\u00a0dams" },
    { value: "0.4", label: "0.4\u00a0m: 3\u00a0dams" },
    { value: "0.5", label: "0.5\u00a0m: 1\u00a0dam" },
  ]);
  assert.deepEqual(heightChoices(undefined, shown), [{ value: "0.4", label: "0.4\u00a0m: 3\u00a0dams" }]);
});

test("planned dams are drawn over the bed they were planned on, with the dams that stand there", () => {
  const standing = (status: string, chainageM: number): SectionDam => ({ id: status, status, chainageM, basis: "levelled" });
  const all = [standing("built", 5), standing("proposed", 6), standing("pegged", 31)];
  const section = plannedSection(layout, null, "t", all);
  assert.deepEqual(
    section.dams.map((d) => [d.id, d.status, d.basis]),
    [["built", "built", "levelled"], ...[1, 2, 3].map((n) => [`planned ${n}`, "proposed", "levelled"])],
  );
  assert.deepEqual([section.proven, section.lengthM], [true, 30]);
  const sketch = plannedSection({ ...layout, basis: "unproven" }, null, "t", []);
  assert.deepEqual([sketch.proven, sketch.dams[0]!.basis], [false, "unproven"]);
});

test("planned dams are listed as the gully is booked, with what each stands by if not the crest below", () => {
  assert.deepEqual(damLines(layout)[2], { number: 3, chainage: "22.0", toe: "101.20", crest: "101.60", note: "below a head" });
  assert.deepEqual(
    damLines({ ...layout, turnedAtM: 30 }).map((d) => [d.chainage, d.note]),
    [
      ["30.0", ""],
      ["20.0", ""],
      ["8.0", "below a head"],
    ],
  );
});

test("planned whoa-boys are listed down the track, whichever way it was booked", () => {
  const bank = (chainageM: number, side: string, more = {}) => ({ chainageM, side, spacingM: 20, tooFar: false, ...more });
  const spaced = (from: number, to: number) =>
    ({
      banks: [bank(20, "left"), bank(45, "either", { tooFar: true, why: "no outlet" })],
      track: [
        { chainageM: 0, levelM: from },
        { chainageM: 60, levelM: to },
      ],
    }) as unknown as Spaced;
  const read = (of: Spaced) => bankLines(of).map((b) => [b.number, b.chainage, b.outlet, b.note]);
  assert.deepEqual(read(spaced(103, 100)), [
    [1, "20.0", "left", ""],
    [2, "45.0", "either side", "farther than the table allows: no outlet"],
  ]);
  assert.deepEqual(read(spaced(100, 103)), [
    [1, "15.0", "either side", "farther than the table allows: no outlet"],
    [2, "40.0", "left", ""],
  ]);
});
