import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import type { Feature } from "../../base/entry.ts";
import type { PastVisit } from "./visits.ts";
import { retreatInput, retreatWords, type Retreat, type RetreatInput } from "./retreat.ts";

const cases = JSON.parse(readFileSync("testdata/compute/retreat.json", "utf8")) as { name: string; input: RetreatInput; answer: Retreat }[];
const caseNamed = (name: string) => cases.find((c) => c.name === name) ?? assert.fail(`no case ${name}`);

const visit = (on: string, more: Partial<PastVisit>): PastVisit => ({
  id: on,
  on,
  stamp: "",
  condition: "",
  photos: [],
  photoRecords: [],
  ...more,
});
const head = (fields: Feature["fields"] = {}): Feature => ({
  id: "head",
  property: "p",
  fields: { kind: "gully-head", ...fields },
  struck: false,
  clashes: [],
  saw: {},
  stamp: "",
  unsent: 0,
});
const wet = { firstMonth: 11, lastMonth: 4 };

test("taped offsets are asked as the other doors ask them, and told", () => {
  const { input, answer } = caseNamed("taped-from-a-stake");
  const asked = retreatInput(
    head(),
    [visit("2023-03-01", { headOffsetM: 12.4 }), visit("2023-05-01", { condition: "holding" })],
    { on: "2023-10-30", headOffsetM: 11.85 },
    wet,
  );
  assert.deepEqual(asked?.visits, input.visits);
  assert.deepEqual(retreatWords(answer), {
    moved: "0.55 ± 0.07 m back since 1 March 2023",
    sure: "More than measurement error. Less than 0.14 m is too small to detect.",
    rate: "",
  });
});

test("with three visits the last step is told first, then the whole", () => {
  const { answer } = caseNamed("three-visits-and-the-wet");
  assert.deepEqual(retreatWords(answer).rate, "Since 3 May 2022 2.30 m, 1.14 m a year.");
  assert.match(retreatWords(answer).moved, /^1\.10 ± 0\.11 m back since 20 May 2023/);
});

test("fixes start where the head was marked; photos and the tape stay out of it", () => {
  const marked = head({
    geometry: { type: "Point", coordinates: [146, -20] },
    accuracyM: 3,
    positionBasis: "drawn on the map",
    observedOn: "2024-05-01",
  });
  const now = { on: "2026-05-01", head: { position: [146.0001, -20] as const, accuracyM: 4, basis: "GPS" as const } };
  assert.deepEqual(retreatInput(marked, [visit("2025-05-01", { headOffsetM: 12 })], now, wet)?.visits, [
    { date: "2024-05-01", position: [146, -20], accuracyM: 3, basis: "drawn on the map" },
    { date: "2026-05-01", position: [146.0001, -20], accuracyM: 4, basis: "GPS" },
  ]);
  assert.equal(retreatInput(head(), [], now, wet), undefined, "one fix has nothing to be compared with");
  assert.equal(
    retreatInput(marked, [visit("2025-05-01", { headOffsetM: 12 })], { on: "2026-05-01" }, wet),
    undefined,
    "nothing was measured now",
  );
});

test("a day counts once, with what was measured last", () => {
  const asked = retreatInput(
    head(),
    [visit("2025-05-01", { headOffsetM: 12 }), visit("2026-05-01", { headOffsetM: 10 })],
    { on: "2026-05-01", headOffsetM: 11 },
    wet,
  );
  assert.deepEqual(
    asked?.visits.map((v) => [v.date, v.offsetM]),
    [
      ["2025-05-01", 12],
      ["2026-05-01", 11],
    ],
  );
});
