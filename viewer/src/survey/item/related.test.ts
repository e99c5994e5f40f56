import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../../base/entry.ts";
import { relatedTo } from "./related.ts";

const feature = (id: string, fields: Feature["fields"]): Feature =>
  ({ id, fields, struck: false, clashes: [], stamp: "" }) as unknown as Feature;

test("the dams of a gully are listed as its long section has them", () => {
  const gully = feature("g", { kind: "thalweg" });
  const dams = [
    feature("old", { kind: "check-dam", thalweg: "g", chainageM: 8 }),
    feature("low", { kind: "check-dam", thalweg: "g" }),
    feature("near", { kind: "check-dam" }),
    feature("top", { kind: "check-dam", thalweg: "g", chainageM: 80 }),
  ];
  const listed = (section?: readonly { id: string; chainageM: number }[]) =>
    relatedTo(gully, [gully, ...dams], section)
      .find((r) => r.label.startsWith("Dams"))
      ?.items.map((f) => f.id);
  assert.deepEqual(listed(), ["old", "top", "low"]);
  assert.deepEqual(
    listed([
      { id: "low", chainageM: 3 },
      { id: "old", chainageM: 8 },
      { id: "near", chainageM: 20 },
      { id: "top", chainageM: 80 },
    ]),
    ["low", "old", "near", "top"],
  );
});
