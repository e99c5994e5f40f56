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

test("a paddock leads to its stock and its pasture assessments, the newest first", () => {
  const bore = feature("bore", { kind: "paddock" });
  const inIt = [
    feature("in-may", { kind: "stocking", paddock: "bore", stockInOn: "2026-05-13" }),
    feature("in-june", { kind: "stocking", paddock: "bore", stockInOn: "2026-06-02" }),
    feature("elsewhere", { kind: "stocking", paddock: "river", stockInOn: "2026-06-02" }),
    feature("cut", { kind: "pasture-assessment", paddock: "bore", observedOn: "2026-05-13" }),
  ];
  assert.deepEqual(
    relatedTo(bore, [bore, ...inIt]).map((r) => r.items.map((f) => f.id)),
    [["in-june", "in-may"], ["cut"]],
  );
});

test("an item leads to the runs that levelled it, and a run to what it levelled", () => {
  const dam = feature("dam", { kind: "check-dam", thalweg: "gully" });
  const gully = feature("gully", { kind: "thalweg" });
  const pegged = feature("rip", { kind: "rip-line", levelRun: "other" });
  const runs = [
    feature("run", {
      kind: "level-run",
      rows: [
        { point: "1", is: 1, feature: "dam", spot: "toe" },
        { point: "2", is: 1, feature: "far", spot: "toe", struck: true },
      ],
    }),
    feature("other", { kind: "level-run", rows: [{ point: "1", is: 1 }] }),
    feature("struck", { kind: "level-run", rows: [{ point: "1", is: 1, feature: "dam", spot: "toe", struck: true }] }),
  ];
  const far = feature("far", { kind: "check-dam" });
  const all = [dam, gully, pegged, far, ...runs];
  const listed = (of: Feature) => Object.fromEntries(relatedTo(of, all).map((r) => [r.label, r.items.map((f) => f.id)]));
  assert.deepEqual(listed(dam), { "Levelled in": ["run"], "In the gully": ["gully"] });
  assert.deepEqual(listed(pegged), { "Levelled in": ["other"] });
  assert.deepEqual(listed(far), {}, "a row that was struck out levels nothing");
  assert.deepEqual(listed(runs[0]!), { "Levelled in it": ["dam", "gully"] });
  assert.deepEqual(listed(runs[1]!), {});
  assert.deepEqual(listed(gully), { "Dams in it, going upstream": ["dam"] });
});
