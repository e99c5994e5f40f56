import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "./entry.ts";
import { album } from "./album.ts";
import { within } from "../survey/photo/purpose.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0".repeat(16),
  unsent: 0,
  ...more,
});
const sha = (c: string) => c.repeat(64);

test("photos of an item are its own and its visits', newest first, each once", () => {
  const features = [
    feature("dam", { kind: "check-dam", photos: [sha("a"), sha("b")], observedOn: "2024-05-01" }),
    feature("v1", {
      kind: "visit",
      of: "dam",
      photos: [sha("c")],
      observedOn: "2025-05-01",
      bearingDeg: 120,
      geometry: { type: "Point", coordinates: [146, -20] },
    }),
    feature("v2", { kind: "visit", of: "dam", photos: [sha("a")], observedOn: "2024-06-01" }),
    feature("v3", { kind: "visit", of: "dam", photos: [sha("d")], observedOn: "2026-01-01" }, { struck: true }),
    feature("v4", { kind: "visit", of: "other", photos: [sha("e")], observedOn: "2026-01-01" }),
    feature("v5", { kind: "visit", of: "dam", photos: "nonsense" }),
    feature("v6", { kind: "visit", of: "dam", photos: ["<script>", 7] }),
  ];
  assert.deepEqual(
    album("dam", features).map((p) => [p.sha[0], p.feature, p.on, p.bearingDeg]),
    [
      ["c", "v1", "2025-05-01", 120],
      ["a", "v2", "2024-06-01", undefined],
      ["b", "dam", "2024-05-01", undefined],
    ],
  );
  assert.deepEqual(album("dam", features)[0]!.place, [146, -20]);
});

test("sizes keep the shape and never grow", () => {
  assert.deepEqual(within(2048, 5776, 4336), { width: 2048, height: 1537 });
  assert.deepEqual(within(2048, 3000, 4000), { width: 1536, height: 2048 });
  assert.deepEqual(within(2048, 640, 480), { width: 640, height: 480 });
  assert.deepEqual(within(2048, 100000, 1), { width: 2048, height: 1 });
});
