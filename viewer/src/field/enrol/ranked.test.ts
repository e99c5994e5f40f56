import assert from "node:assert/strict";
import test from "node:test";
import type { PropertyState } from "../../storage/store.ts";
import { awayWords, inOrder, ranked } from "./ranked.ts";

const state = (id: string, more: Partial<PropertyState> = {}): PropertyState => ({
  property: { id, name: id },
  unsent: 0,
  photosUnsent: 0,
  recorded: null,
  near: [],
  begunWork: false,
  ...more,
});

test("the nearest comes first, over the antimeridian too, then those opened last, then by name", () => {
  const all = [
    state("far", { near: [[170, -20]] }),
    state("b"),
    state("a"),
    state("near", {
      near: [
        [-179.999, -20],
        [10, 10],
      ],
    }),
    state("used", { recorded: new Date(9) }),
  ];
  const rows = inOrder(ranked(all, { lon: 179.999, lat: -20 }), { b: 5 });
  assert.deepEqual(
    rows.map((r) => r.property.id),
    ["near", "far", "used", "b", "a"],
  );
  assert.ok(Math.abs(rows[0]!.awayM! - 209) < 2, `${rows[0]!.awayM} m`); // 0.002 degrees of longitude at 20 south
});

test("a merged property is counted with the one it is part of, and shown while something is unfinished", () => {
  const creek = state("creek", { unsent: 2 }),
    hut = { ...state("hut", { unsent: 3, photosUnsent: 1 }), property: { id: "hut", name: "hut", into: "creek" } };
  assert.deepEqual(
    ranked([creek, hut], null).map((r) => [r.property.id, r.unsent, r.photosUnsent]),
    [["creek", 5, 1]],
  );
  assert.deepEqual(
    ranked([creek, { ...hut, begunWork: true }], null).map((r) => [r.property.id, r.unsent]),
    [
      ["creek", 2],
      ["hut", 3],
    ],
  );
});

test("how far away a property is", () => {
  assert.deepEqual([undefined, 0, 99.9, 100, 12_000].map(awayWords), ["", "here", "here", "100 m away", "12 km away"]);
});
