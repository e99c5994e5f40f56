import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { isItem, nearestFirst } from "../../base/nearest.ts";
import { kindsIn, matching } from "./listed.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: id,
  unsent: 0,
  ...more,
});
const at = (lon: number, lat: number) => ({ geometry: { type: "Point", coordinates: [lon, lat] } });
const all = [
  feature("1", { kind: "check-dam", name: "Dam 2", notes: "Leaky at the left wall", ...at(146.52, -20) }),
  feature("2", { kind: "gully-head", name: "Lip", ...at(146.501, -20) }),
  feature("3", {
    kind: "fence",
    geometry: {
      type: "MultiLineString",
      coordinates: [
        [
          [146.4, -20],
          [146.5001, -20],
        ],
        [
          [146.6, -20],
          [146.7, -20],
        ],
      ],
    },
  }),
  feature("4", { kind: "peg" }),
  feature("5", { kind: "nobody knows" }),
];

test("the nearest comes first, a broken walk by its nearest piece, and what has no position last", () => {
  assert.deepEqual(
    nearestFirst(all, { lon: 146.5, lat: -20 }).map((n) => n.feature.id),
    ["3", "2", "1", "5", "4"],
  );
  assert.deepEqual(
    nearestFirst(all, undefined).map((n) => n.feature.id),
    ["5", "4", "3", "2", "1"],
  );
});

test("a list is searched by name, kind and notes, and filtered by kind", () => {
  assert.deepEqual(
    kindsIn(all)
      .map((k) => k.name)
      .sort(),
    ["check-dam", "fence", "gully-head", "peg", "unsorted"],
  );
  assert.deepEqual(
    matching(all, "", "dam").map((f) => f.id),
    ["1"],
  );
  assert.deepEqual(
    matching(all, "", "LEFT dam").map((f) => f.id),
    ["1"],
  );
  assert.deepEqual(
    matching(all, "gully-head", "").map((f) => f.id),
    ["2"],
  );
  assert.deepEqual(matching(all, "gully-head", "dam"), []);
  assert.equal(matching(all, "", "  "), all);
});

test("visits, photos, level books and what is struck out are no items", () => {
  assert.deepEqual(
    [{ kind: "visit" }, { kind: "level-run" }, { kind: "peg" }].map((fields) => isItem(feature("x", fields))),
    [false, false, true],
  );
  assert.equal(isItem(feature("x", { kind: "peg" }, { struck: true })), false);
});
