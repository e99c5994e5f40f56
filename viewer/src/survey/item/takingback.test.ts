// What is taken back of a save of several items, and what stays.

import assert from "node:assert/strict";
import test from "node:test";
import type { Entry, Feature, Fields } from "../../base/entry.ts";
import { severalOf } from "./takingback.ts";

const at = "2";
const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: at, unsent: 0 },
  ...more,
});
const said = (of: string, what: Pick<Entry, "set" | "strike">, stamp = at): Entry => ({
  ...{ v: 1, id: `${of} ${stamp}`, property: "p", feature: of, device: "d", deviceSeq: 1, stamp, seenAt: "", author: "" },
  ...what,
});
const proposed = { kind: "check-dam", status: "proposed", plan: "plan" };
const planned = { kind: "plan", name: "Dams along G1", of: "g" };
const saved = [...["1", "2", "3"].map((n) => said(n, { set: { ...proposed, name: `Dam ${n}` } })), said("plan", { set: planned })];
const dam = (n: string, fields: Fields = {}, more: Partial<Feature> = {}) => feature(n, { ...proposed, name: `Dam ${n}`, ...fields }, more);
const later: Partial<Feature> = { stamp: "3" };
const told = (entries: readonly Entry[], ...features: readonly Feature[]) => {
  const several = severalOf(entries, new Map(features.map((f) => [f.id, f])));
  const back = several?.back;
  return {
    called: several && `${several.name}, ${several.did}`,
    asks: back?.asks,
    done: back?.done,
    of: back?.entries.map((e) => e.feature),
  };
};

test("an adoption is called by its plan, and struck out with it while nobody has touched its works", () =>
  assert.deepEqual(told(saved, dam("1"), dam("2"), dam("3"), feature("plan", planned)), {
    called: "Dams along G1, 3 check dams proposed",
    asks: "Strike out 3 proposed check dams?",
    done: "3 check dams struck out",
    of: ["1", "2", "3", "plan"],
  }));

test("works that were pegged, edited, visited or levelled since stay, and their plan with them", () => {
  const plan = feature("plan", planned);
  assert.deepEqual(told(saved, dam("1", { status: "pegged" }, later), dam("2"), dam("3"), plan), {
    called: "Dams along G1, 3 check dams proposed",
    asks: "Strike out 2 proposed check dams? Dam 1 was pegged since and stays.",
    done: "2 check dams struck out, Dam 1 stays",
    of: ["2", "3"],
  });
  const visit = feature("v", { kind: "visit", of: "1" });
  const run = feature("r", { kind: "level-run", rows: [{ point: "D2", is: 1, feature: "2", spot: "crest" }] });
  assert.deepEqual(told(saved, dam("1"), dam("2"), dam("3"), plan, visit, run), {
    called: "Dams along G1, 3 check dams proposed",
    asks: "Strike out 1 proposed check dam? Dam 1 and Dam 2 were changed or visited since and stay.",
    done: "1 check dam struck out, Dam 1 and Dam 2 stay",
    of: ["3"],
  });
  assert.deepEqual(told(saved, dam("1"), dam("2"), dam("3"), plan, { ...visit, struck: true }).of?.length, 4, "a visit that is struck out");
  assert.equal(told(saved, ...["1", "2", "3"].map((n) => dam(n, {}, later)), plan).asks, undefined, "nothing is left to strike out");
  assert.deepEqual(told(saved, dam("1", {}, { ...later, struck: true }), dam("2"), dam("3"), plan).of, ["2", "3", "plan"]);
});

test("what a plan moved is put back with it, unless it has been pegged since", () => {
  const moved = [said("4", { set: { chainageM: 9, plan: "plan" } }), said("plan", { set: planned })];
  const plan = feature("plan", planned);
  assert.deepEqual(told(moved, dam("4"), plan), {
    called: "Dams along G1, added",
    asks: "Strike out Dams along G1? What it changed of Dam 4 is undone.",
    done: "Dams along G1 struck out",
    of: ["4", "plan"],
  });
  assert.equal(told(moved, dam("4", { status: "pegged" }, later), plan).asks, undefined);
});

test("other items saved together are counted, and a photo belongs to what was marked with it", () => {
  const pegs = ["a", "b"].map((id) => said(id, { set: { kind: "peg" } }));
  const two = [feature("a", { kind: "peg", name: "P1" }), feature("b", { kind: "peg" })];
  assert.deepEqual(told(pegs, ...two), {
    called: "2 pegs, added",
    asks: "Strike out 2 pegs?",
    done: "2 pegs struck out",
    of: ["a", "b"],
  });
  const photo = said("v", { set: { kind: "visit", of: "a" } });
  assert.equal(told([pegs[0]!, photo], two[0]!, feature("v", { kind: "visit", of: "a" })).called, undefined);
  const struck = pegs.map((e) => said(e.feature, { strike: true }));
  assert.equal(told(struck, ...two).called, "2 pegs, struck out");
  const restored = pegs.map((e) => said(e.feature, { strike: false }));
  assert.deepEqual(told(restored, { ...two[0]!, stamp: "3" }, two[1]!), {
    called: "2 pegs, restored",
    asks: "Strike out 1 peg? P1 was changed or visited since and stays.",
    done: "1 peg struck out, P1 stays",
    of: ["b"],
  });
});
