import assert from "node:assert/strict";
import test from "node:test";
import type { Entry } from "../base/entry.ts";
import { overlay, sawOthers, unknownFeature } from "./overlay.ts";

const entry = (more: Partial<Entry>): Entry => ({
  ...{ v: 1, id: "e", property: "p", feature: "dam", device: "d", deviceSeq: 7, stamp: "0000000000000005" },
  ...{ seenAt: "2026-03-01T09:00:00+10:00", author: "R. Field" },
  ...more,
});

test("what is recorded here ends the clashes of what it sets, and no others", () => {
  const before = { ...unknownFeature("dam", "p"), clashes: ["name", "heightM", "strike"], fields: { name: "A", heightM: 1 } };
  for (const [name, recorded, clashes, fields, struck] of [
    ["a field", { set: { name: "B" } }, ["heightM", "strike"], { name: "B", heightM: 1 }, false],
    ["a field taken away", { set: { name: null } }, ["heightM", "strike"], { heightM: 1 }, false],
    ["struck out", { strike: true }, ["name", "heightM"], { name: "A", heightM: 1 }, true],
    ["put back", { strike: false }, ["name", "heightM"], { name: "A", heightM: 1 }, false],
  ] as const) {
    const after = overlay(before, entry(recorded));
    assert.deepEqual([after.clashes, after.fields, after.struck, after.unsent], [clashes, fields, struck, 1], name);
  }
  const struck = overlay({ ...before, struck: true }, entry({ set: { name: "B" } }));
  assert.equal(struck.struck, true, "a field puts nothing back");
});

test("an entry has seen what others wrote, not what its own phone did", () => {
  const seen = overlay({ ...unknownFeature("dam", "p"), saw: { office: 3, d: 6 } }, entry({ set: { name: "B" } }));
  assert.deepEqual([seen.saw, sawOthers(seen, "d"), seen.stamp], [{ office: 3, d: 7 }, { office: 3 }, "0000000000000005"]);
});
