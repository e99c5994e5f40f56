// Which proposed dam is next up a gully, what level it is pegged to, and what pegging makes of it.

import assert from "node:assert/strict";
import test from "node:test";
import type { LongSection } from "../../compute/sheets.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import { onlyPlanned } from "../form/beside.ts";
import type { Crest } from "./dams.ts";
import {
  nextPlanned,
  offPlan,
  offPlanQuestion,
  plannedIn,
  plannedPegged,
  plannedSlope,
  plannedWords,
  standsApart,
  wayToPlanned,
} from "./planneddams.ts";

const feature = (id: string, fields: Fields): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
});
const dam = (id: string, chainageM: number | undefined, toeM: number | undefined, more: Fields = {}) =>
  feature(id, {
    kind: "check-dam",
    name: `Dam ${id}`,
    status: "proposed",
    thalweg: "g",
    crestHeightM: 0.4,
    ...(chainageM === undefined ? {} : { chainageM }),
    ...(toeM === undefined ? {} : { targetToeLevelM: toeM }),
    ...more,
  });
const all = [dam("3", 40, 100.8), dam("2", 20, 100.4), dam("1", 0, 100), dam("10", undefined, undefined), dam("9", undefined, undefined)];
const planned = plannedIn("g", all, undefined);
const names = (of: readonly { readonly name: string }[]) => of.map((p) => p.name);
const crest = (chainageM: number | undefined, levelM: number, feature = "x"): Crest => ({
  feature,
  name: "X",
  levelM,
  how: "levelled",
  ...(chainageM === undefined ? {} : { chainageM }),
});

test("the proposed dams of one gully are offered from below, as it is booked", () => {
  assert.deepEqual(names(planned), ["Dam 1", "Dam 2", "Dam 3", "Dam 9", "Dam 10"]);
  const others = [
    dam("4", 1, 1, { status: "pegged" }),
    dam("5", 1, 1, { thalweg: "h" }),
    dam("6", 1, 1, { kind: "whoa-boy" }),
    { ...dam("7", 1, 1), struck: true },
  ];
  assert.deepEqual(plannedIn("g", others, undefined), []);
  const fromHead = plannedIn("g", all, { bookedFromM: 40 } as LongSection);
  assert.deepEqual(fromHead.map((p) => p.upM).slice(0, 3), [0, 20, 40]);
  assert.deepEqual(names(fromHead).slice(0, 3), ["Dam 3", "Dam 2", "Dam 1"]);
});

test("next is the lowest above the crest set out from, by tape and else by level", () => {
  assert.equal(nextPlanned(planned, undefined, undefined)?.name, "Dam 1");
  assert.equal(nextPlanned(planned, crest(0, 100.4), undefined)?.name, "Dam 2");
  assert.equal(nextPlanned(planned, crest(20.5, 100.4), undefined)?.name, "Dam 3");
  assert.equal(nextPlanned(planned, crest(40, 101.2), undefined), undefined, "above all of them");
  assert.equal(nextPlanned(planned, crest(undefined, 100.45), undefined)?.name, "Dam 2");
  assert.equal(nextPlanned(planned, crest(undefined, 102), undefined), undefined);
  assert.equal(nextPlanned(planned.slice(3), crest(undefined, 100), undefined), undefined, "nothing tells that it is above");
  assert.equal(nextPlanned(planned.slice(3), crest(0, 100), undefined), undefined);
});

test("the crest below tells the level of a toe, save where the plan has a step or a dam between", () => {
  const [one, two, three, nowhere] = planned as [(typeof planned)[0], (typeof planned)[0], (typeof planned)[0], (typeof planned)[0]];
  const apart = (of: typeof one, lower: Crest | undefined, lowerDam?: Feature, slopePct = 0) =>
    standsApart(of, planned, lower, lowerDam, undefined, slopePct);
  assert.equal(apart(one, undefined), true, "the first");
  assert.equal(apart(two, crest(1, 100.4)), false);
  assert.equal(apart(three, crest(1, 100.4)), true, "dam 2 is planned between");
  assert.equal(apart(one, crest(10, 100.6)), true, "the crest stands above it");
  assert.equal(apart(nowhere, crest(1, 100.4)), false);
  assert.equal(apart(two, crest(1, 100.25)), true, "a gap");
  assert.equal(apart(two, crest(0, 100.25), undefined, 0.5), false, "which silt fills");
  const pegged = dam("0", 1, 100, { status: "pegged", toeLevelM: 99.8 });
  assert.equal(apart(two, crest(1, 100.2), pegged), false, "it was pegged low: the plan has no gap there");
  assert.equal(apart(two, crest(1, 100.2), dam("0", 1, 99.8)), true, "the plan has one");
});

test("how far a peg stands off the plan is said, and asked about where it is far", () => {
  const two = planned[1]!;
  assert.equal(plannedWords(two), "planned at chainage 20.0, toe 100.400");
  assert.equal(plannedWords(planned[3]!), "planned");
  assert.equal(offPlan(two, 100.44, 21.2), "0.04 m above the plan's toe, 1.2 m farther up");
  assert.equal(offPlan(two, 100.36, 18), "0.04 m below the plan's toe, 2.0 m farther down");
  assert.equal(offPlan(two, 100.402, 20.02), "level with the plan's toe, at its chainage");
  assert.equal(offPlan(two, undefined, undefined), "");
  assert.equal(offPlan(planned[3]!, 100, 20), "");
  assert.equal(offPlanQuestion(two, 100.5), undefined);
  assert.equal(offPlanQuestion(two, 100.51)?.words, "0.11 m above the plan's toe, 100.400.");
  assert.equal(offPlanQuestion(two, 100.2)?.words, "0.20 m below the plan's toe, 100.400.");
  assert.equal(offPlanQuestion(planned[3], 100), undefined);
  assert.equal(offPlanQuestion(undefined, 100), undefined);
});

test("pegging leaves a dam its name, its plan and its planned toe, and its height unless another is chosen", () => {
  const by = { run: "r", toeLevelM: 100.43, heightM: 0.4, below: "x", upM: 19 };
  const set = plannedPegged(planned[1]!, by, 19.5, "2026-03-01", { accuracyM: 4 });
  assert.deepEqual(set, {
    ...{ status: "pegged", peggedOn: "2026-03-01", observedOn: "2026-03-01", toeLevelM: 100.43, levelRun: "r", targetCrestLevelM: 100.83 },
    ...{ damBelow: "x", fromBelowM: 19, fromBelowBasis: "taped", chainageM: 19.5, chainageBasis: "taped", accuracyM: 4 },
  });
  const higher = plannedPegged(planned[1]!, { ...by, heightM: 0.5 }, undefined, "d", {});
  assert.deepEqual([higher["crestHeightM"], higher["crestHeightBasis"], higher["targetCrestLevelM"]], [0.5, "from plan", 100.93]);
  assert.ok(!("chainageM" in higher), "nobody taped it: that of the plan stays");
});

test("silt settles as the plan has it", () => {
  const by = (input: string) => plannedSlope(plannedIn("g", [dam("1", 0, 100, { plan: "pl" })], undefined)[0], [feature("pl", { input })]);
  assert.equal(by('{"depositSlopePct":0.5}'), "0.5");
  assert.equal(by("{}"), undefined);
  assert.equal(by("what"), undefined);
  assert.equal(plannedSlope(planned[0], []), undefined);
});

test("the way to the first dam of a plan is by its place, as well as its line and the receiver can say", () => {
  const one = plannedIn("g", [dam("1", 5, 100, { geometry: { type: "Point", coordinates: [146.5, -20.25] } })], undefined)[0]!;
  const line = feature("g", { accuraciesM: [3, 3] });
  const fix = { lon: 146.5, lat: -20.25 - 30 / 110_700, accuracyM: 4 };
  assert.equal(wayToPlanned(one, line, fix)?.words, "By the plan: 30 m north, ±5 m by GPS.");
  assert.equal(wayToPlanned(one, line, null), undefined);
  assert.equal(wayToPlanned(one, feature("g", {}), fix), undefined, "nobody knows how good the line is");
  assert.equal(wayToPlanned(planned[3]!, line, fix), undefined);
});

test("where no fix tells, the only line with proposed works is meant", () => {
  const lines = [{ feature: feature("h", {}) }, { feature: feature("g", {}), awayM: 30 }];
  assert.equal(onlyPlanned(lines, "thalweg", all)?.id, "g");
  assert.equal(onlyPlanned(lines, "thalweg", [...all, dam("h1", 0, 1, { thalweg: "h" })]), undefined);
  assert.equal(onlyPlanned([{ feature: feature("g", {}), awayM: 60 }], "thalweg", all), undefined, "too far off");
  assert.equal(onlyPlanned(lines, "track", all), undefined);
  assert.equal(onlyPlanned(lines, "thalweg", [dam("p", 0, 1, { status: "built" })]), undefined);
});
