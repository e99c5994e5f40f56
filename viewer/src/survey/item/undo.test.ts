import assert from "node:assert/strict";
import test from "node:test";
import type { Entry, Feature, Fields } from "../../base/entry.ts";
import type { Draft, Recorded } from "../../storage/store.ts";
import { same, undoing } from "./undo.ts";

const feature = (fields: Fields, more: Partial<Feature> = {}): Feature => ({
  id: "dam",
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: "9",
  unsent: 0,
  ...more,
});
const said = (id: string, stamp: string, what: Pick<Entry, "set" | "strike">): Recorded => ({
  entry: { v: 1, id, property: "p", feature: "dam", device: "d", deviceSeq: 1, stamp, seenAt: "", author: "", ...what },
  savedMS: 1,
  waits: true,
  refused: false,
});
const begun = said("old", "1", { set: { kind: "check-dam", crestHeightM: 0.4, status: "pegged", photos: ["a"] } });

test("undo takes back what its entries said, and nothing else", () => {
  const cases: readonly [string, readonly string[], Feature, readonly Recorded[], readonly Draft[]][] = [
    ["a new item", ["new"], feature({ kind: "peg" }), [said("new", "1", { set: { kind: "peg" } })], [{ feature: "dam", strike: true }]],
    ["a new item that is struck out already", ["new"], feature({}, { struck: true }), [said("new", "1", { set: { kind: "peg" } })], []],
    [
      "the details of a new item, not the item",
      ["more"],
      feature({ kind: "peg", notes: "x" }),
      [said("new", "1", { set: { kind: "peg" } }), said("more", "2", { set: { notes: "x" } })],
      [{ feature: "dam", set: { notes: null } }],
    ],
    [
      "an edited value",
      ["e"],
      feature({ crestHeightM: 0.5 }),
      [begun, said("e", "2", { set: { crestHeightM: 0.5 } })],
      [{ feature: "dam", set: { crestHeightM: 0.4 } }],
    ],
    [
      "an edit that somebody has changed since",
      ["e"],
      feature({ crestHeightM: 0.6 }),
      [begun, said("e", "2", { set: { crestHeightM: 0.5 } }), said("f", "3", { set: { crestHeightM: 0.6 } })],
      [],
    ],
    [
      "one of two edits at once, changed since",
      ["e"],
      feature({ crestHeightM: 0.6, notes: "x" }),
      [begun, said("e", "2", { set: { crestHeightM: 0.5, notes: "x" } }), said("f", "3", { set: { crestHeightM: 0.6 } })],
      [{ feature: "dam", set: { notes: null } }],
    ],
    [
      "changed twice at once",
      ["e", "f"],
      feature({ status: "failed" }),
      [begun, said("e", "2", { set: { status: "built" } }), said("f", "3", { set: { status: "failed" } })],
      [{ feature: "dam", set: { status: "pegged" } }],
    ],
    ["struck out", ["e"], feature({}, { struck: true }), [begun, said("e", "2", { strike: true })], [{ feature: "dam", strike: false }]],
    [
      "its own photo, not the one taken since",
      ["e"],
      feature({ photos: ["a", "b", "c"] }),
      [begun, said("e", "2", { set: { photos: ["a", "b"] } }), said("f", "3", { set: { photos: ["a", "b", "c"] } })],
      [{ feature: "dam", set: { photos: ["a", "c"] } }],
    ],
    [
      "a position that a server wrote in another order",
      ["e"],
      feature({ geometry: { coordinates: [1, 2], type: "Point" } }),
      [begun, said("e", "2", { set: { geometry: { type: "Point", coordinates: [1, 2] } } })],
      [{ feature: "dam", set: { geometry: null } }],
    ],
    ["what it does not know", ["x"], feature({}), [begun], []],
  ];
  for (const [name, ids, now, history, want] of cases) assert.deepEqual(undoing(new Set(ids), [{ now, history }]), want, name);
});

test("several items saved together are undone together", () => {
  const visit: Recorded = { ...said("v", "2", { set: { kind: "visit" } }) };
  assert.deepEqual(
    undoing(new Set(["v", "e"]), [
      { now: feature({ kind: "visit" }, { id: "visit" }), history: [visit] },
      { now: feature({ status: "failed" }), history: [begun, said("e", "2", { set: { status: "failed" } })] },
    ]),
    [
      { feature: "visit", strike: true },
      { feature: "dam", set: { status: "pegged" } },
    ],
  );
});

test("values are the same whatever the order of their members", () => {
  assert.ok(same({ a: [1, { b: null }], c: 2 }, { c: 2, a: [1, { b: null }] }));
  for (const [a, b] of [
    [[1], { 0: 1 }],
    [{ a: 1 }, { a: 1, b: 2 }],
    [null, {}],
    [1, "1"],
    [
      [1, 2],
      [2, 1],
    ],
  ] as const)
    assert.ok(!same(a, b), JSON.stringify([a, b]));
});
