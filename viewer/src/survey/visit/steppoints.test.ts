import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { counted, hits, isEmpty, noCount, type Count, type CountAction } from "./steppoints.ts";
import type { Fields } from "../../base/entry.ts";
import { coverInput, coverWords, recounted, type Cover } from "./cover.ts";

const counts = (...actions: CountAction[]): Count => actions.reduce(counted, noCount);
const points = (covered: number, bare: number): Count =>
  counts(
    ...Array.from({ length: covered }, () => ({ do: "point", point: "cover" }) as const),
    ...Array.from({ length: bare }, () => ({ do: "point", point: "bare" }) as const),
  );

test("undo takes back the last press, whichever it was", () => {
  const before = points(13, 7);
  for (const point of ["cover", "bare"] as const) {
    assert.deepEqual(counted(counted(before, { do: "point", point }), { do: "undo" }), before);
  }
  assert.equal(hits(before), 13);
  assert.deepEqual(counts({ do: "undo" }), noCount);
  assert.equal(isEmpty(noCount), true);
});

test("each way of counting keeps its own readings", () => {
  const both = counted(counted(points(3, 1), { do: "way", way: "plots" }), { do: "plot", pct: 40 });
  assert.deepEqual(both.plotsPct, [40]);
  assert.equal(hits(both), 3);
  assert.deepEqual(counted(both, { do: "undo" }).plotsPct, []);
  for (const pct of [-1, 100.5, NaN]) assert.equal(counted(both, { do: "plot", pct }), both, `plot of ${pct}`);
});

// The cases are those that the command line and the server answer (testdata/compute).
const cases = JSON.parse(readFileSync("testdata/compute/cover.json", "utf8")) as { name: string; input: unknown; answer: Cover }[];
const caseNamed = (name: string) => cases.find((c) => c.name === name) ?? assert.fail(`no case ${name}`);

test("points are asked as the other doors ask them, and told", () => {
  const { input, answer } = caseNamed("points-at-the-end-of-the-dry");
  const seasons = { wet: { firstMonth: 12, lastMonth: 4 }, retakeMonths: 12, target: "soil-loss-70" };
  assert.deepEqual(coverInput(points(156, 44), "2024-10-28", seasons), input);
  assert.deepEqual(coverWords(answer), {
    pct: "78 %",
    limits: "between 72 % and 83 %, 95 % sure",
    target: "Meets the target: even the low end reaches it.",
  });
});

test("plots are asked as the other doors ask them, and told", () => {
  const { input, answer } = caseNamed("plots");
  const { targetPct, ...rest } = input as { targetPct: number };
  assert.equal(targetPct, 60);
  const plots = [40, 55, 62, 48, 70].reduce((c, pct) => counted(c, { do: "plot", pct }), counts({ do: "way", way: "plots" }));
  assert.deepEqual(coverInput(plots, "2024-03-02", { wet: { firstMonth: 12, lastMonth: 4 }, retakeMonths: 12 }), rest);
  assert.deepEqual(coverWords(answer), {
    pct: "55 %",
    limits: "between 40 % and 70 %, 95 % sure",
    target: "Too few to say whether it meets the target: count more.",
  });
});

test("the day is judged by no dry season that nobody chose, and a saved count gives its range again", () => {
  assert.equal(coverInput(points(156, 44), "2024-10-28", { retakeMonths: 12 })?.drySeason, undefined);
  const visit = (fields: Fields) => ({ id: "v", property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "0", unsent: 0 });
  assert.deepEqual(recounted(visit({ coverPct: 78, coverHits: 156, coverPoints: 200 })), { points: { hits: 156, total: 200 } });
  assert.deepEqual(recounted(visit({ coverPct: 30, coverPlotsPct: [20, 40] })), { plots: [{ coverPct: 20 }, { coverPct: 40 }] });
  assert.equal(recounted(visit({ coverPct: 30 })), undefined, "estimated as a whole, it has no range");
});
