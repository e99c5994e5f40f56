// Everything of a long section stands where its chainage and level put it.

import assert from "node:assert/strict";
import test from "node:test";
import { canDraw, draw, silted, ticks } from "./draw.ts";
import type { Section } from "./section.ts";

// A bed of 1 in 50 with a step, given out of order, and three dams, the upper one failed.
const section: Section = {
  thalweg: "t",
  lengthM: 100,
  proven: true,
  notes: [],
  bed: [
    { chainageM: 50, levelM: 101 },
    { chainageM: 0, levelM: 100 },
    { chainageM: 100, levelM: 103 },
    { chainageM: 60, levelM: 102.2 },
  ],
  dams: [
    { id: "c", name: "Dam 3", chainageM: 80, toeLevelM: 102.6, heightM: 0.4, basis: "levelled", status: "failed" },
    { id: "a", name: "Dam 1", chainageM: 10, toeLevelM: 100.2, crestLevelM: 100.7, basis: "levelled" },
    { id: "b", name: "Dam 2", chainageM: 40, toeLevelM: 100.8, crestLevelM: 101.6, basis: "unproven" },
  ],
  pairs: [
    { lower: "a", upper: "b", spacingM: 30, stepM: 0.1, verdict: "gap" },
    { lower: "b", upper: "c", spacingM: 40, stepM: -0.2, verdict: "drowned" },
    { lower: "a", upper: "c", spacingM: 70, stepM: 0.3, verdict: "OK" },
    { lower: "a", upper: "c", spacingM: 70, verdict: "gap" },
    { lower: "a", upper: "gone", spacingM: 70, stepM: 1, verdict: "gap" },
  ],
};
const f = 10;
const d = draw(section, { widthPx: 1000, fontPx: f });
const near = (got: number | undefined, want: number, what: string) =>
  assert.ok(Math.abs(got! - want) < 0.02, `${what}: ${got}, want ${want}`);

test("along and up by one scale each, as the ticks say", () => {
  const X = (m: number) => d.plot.left + (m * (d.plot.right - d.plot.left)) / 100;
  const Y = (m: number) => Y0 - ((m - 100) * (d.plot.right - d.plot.left) * d.exaggeration) / 100;
  const Y0 = d.yTicks[0]!.at + ((Number(d.yTicks[0]!.text) - 100) * (d.plot.right - d.plot.left) * d.exaggeration) / 100;
  near(d.plot.right, 1000 - 0.9 * f, "the right edge");
  for (const t of d.xTicks) near(t.at, X(Number(t.text)), `chainage ${t.text}`);
  for (const t of d.yTicks) near(t.at, Y(Number(t.text)), `level ${t.text}`);
  // 3 m at 9.5 px a metre are 28 px; the bed may be 20 letters tall: 5 times, not 8.
  assert.equal(d.exaggeration, 5);
  assert.equal(draw(section, { widthPx: 1000, fontPx: f, tallest: 90 }).exaggeration, 25);
  assert.equal(draw(section, { widthPx: 1000, fontPx: f, tallest: 1 }).exaggeration, 1, "never less than it is");
  const points = d.bed
    .slice(1)
    .split("L")
    .map((p) => p.split(" ").map(Number));
  [
    [0, 100],
    [50, 101],
    [60, 102.2],
    [100, 103],
  ].forEach(([m, level], i) => {
    near(points[i]![0], X(m!), `bed at ${m} along`);
    near(points[i]![1], Y(level!), `bed at ${m} up`);
  });
  assert.ok(d.ground.startsWith(`M${Math.round(X(0) * 100) / 100} ${Math.round(d.plot.bottom * 100) / 100}L`) && d.ground.endsWith("Z"));
  near(
    d.plot.bottom,
    Y(100) + f * (0.9 + 1.4 * 2),
    "below the bed there is room for two rows of faults, of which the one of no dam is not drawn",
  );
  near(d.height, d.plot.bottom + 3.2 * f, "and for the axis");
  near(Y(103), d.plot.top, "the highest is at the top");
  near(d.plot.top, f * (0.6 + 1.35) + 0.8 * f, "below a row of names");

  assert.deepEqual(
    d.dams.map((dam) => [dam.id, dam.dashed, dam.status]),
    [
      ["a", false, ""],
      ["b", true, ""],
      ["c", false, "failed"],
    ],
  );
  [
    ["a", 10, 100.2, 100.7],
    ["b", 40, 100.8, 101.6],
    ["c", 80, 102.6, 103],
  ].forEach(([id, m, toe, crest], i) => {
    near(d.dams[i]!.x, X(m as number), `${id} along`);
    near(d.dams[i]!.toeY, Y(toe as number), `toe of ${id}`);
    near(d.dams[i]!.crestY, Y(crest as number), `crest of ${id}`);
  });
  // The crest of a reaches the bed of 1 in 50 at 35 m; that of b the step at 50 + 10 × 0.6 / 1.2 = 55 m. c has failed.
  assert.deepEqual(
    d.crests.map((c) => c.dam),
    ["a", "b"],
  );
  near(d.crests[0]!.x2, X(35), "where a reaches");
  near(d.crests[1]!.x2, X(55), "where b reaches");
  near(d.crests[1]!.y, Y(101.6), "at its crest");

  const [gap, drowned] = d.faults;
  assert.deepEqual(
    d.faults.map((fault) => [fault.kind, fault.label.text]),
    [
      ["gap", "gap 0.10 m"],
      ["drowned", "drowned toe 0.20 m"],
    ],
  );
  near(gap!.band.x, X(10), "the gap begins");
  near(gap!.band.width, X(40) - X(10), "its width");
  near(gap!.fromX, X(35), "it is measured from the end of the crest's line");
  near(gap!.x, X(40), "to the upper toe");
  near(gap!.y1, Y(100.7), "from the crest");
  near(gap!.y2, Y(100.8), "up to the toe");
  near(gap!.label.x, X(40), "its words");
  near(gap!.label.y, Y(100) + 1.6 * f, "below the bed");
  near(gap!.label.leader.y, Y(100.7), "from the lower of the two");
  near(drowned!.label.x, X(80), "the other's words");
  near(d.names[0]!.y, 1.1 * f, "names stand above");
  near(d.names[0]!.leader.y, Y(100.7), "with a line from the crest");
  near(d.names[0]!.leader.x, d.dams[0]!.x + d.dams[0]!.thickness / 4, "and from its middle, wherever the name found room");
  assert.deepEqual(
    d.names.map((n) => n.text),
    ["Dam 1", "Dam 2", "Dam 3"],
  );
});

test("words that would touch stand on rows of their own, within the paper", () => {
  const dams = [0, 1, 2, 100].map((chainageM) => ({ id: String(chainageM), name: "A long name", chainageM, basis: "unproven" as const }));
  const crowded = draw({ ...section, dams, pairs: [] }, { widthPx: 1000, fontPx: f });
  const half = (11 * f * 0.58) / 2;
  assert.deepEqual(
    crowded.names.map((n) => Math.round((n.y / f - 1.1) / 1.35)),
    [0, 1, 2, 0],
  );
  near(crowded.names[0]!.x, crowded.plot.left + half, "the first");
  near(crowded.names[3]!.x, crowded.plot.right - half, "the last");
  const apart = (m: number) =>
    draw({ ...section, dams: [20, 20 + m].map((chainageM, i) => ({ ...dams[i]!, chainageM })), pairs: [] }, { widthPx: 1000, fontPx: f });
  const wide = (2 * half + f * 0.58) / ((apart(50).plot.right - apart(50).plot.left) / 100); // in metres, with a letter between
  const rows = (m: number) => new Set(apart(m).names.map((n) => n.y)).size;
  assert.deepEqual([rows(wide + 0.01), rows(wide - 0.01)], [1, 2]);
  const many = Array.from({ length: 8 }, (_, i) => ({ ...dams[0]!, id: String(i), chainageM: 50 + i / 100 }));
  assert.equal(draw({ ...section, dams: many, pairs: [] }, { widthPx: 1000, fontPx: f }).names.length, 4, "four rows of names");
});

test("silt reaches up to the next dam that holds, the bed, or the end", () => {
  const at = (chainageM: number, crestLevelM: number, more = {}) => ({
    id: String(chainageM),
    chainageM,
    crestLevelM,
    basis: "levelled" as const,
    ...more,
  });
  const reach = (...dams: ReturnType<typeof at>[]) => [...silted({ ...section, dams })].map(([id, m]) => [id, Math.round(m * 1000) / 1000]);
  assert.deepEqual(reach(at(10, 100.7)), [["10", 35]]);
  assert.deepEqual(
    reach(at(30, 102), at(10, 101)),
    [
      ["10", 30],
      ["30", 58.333],
    ],
    "no farther than the next dam",
  );
  assert.deepEqual(reach(at(10, 101), at(30, 102, { status: "removed" })), [["10", 50]]);
  assert.deepEqual(reach(at(50, 101)), [], "no higher than its toe");
  assert.deepEqual(reach(at(50, 101.6)), [["50", 55]]);
  assert.deepEqual(reach(at(90, 104)), [["90", 100]], "to the end of the bed");
  assert.deepEqual(reach(at(10, 99, { toeLevelM: 98 })), [["10", 10]], "the bed stands higher everywhere");
  assert.deepEqual(reach(at(-10, 99.5, { toeLevelM: 99 })), [["-10", 0]], "up to where the bed begins");
  const flat = [0, 20].map((chainageM) => ({ chainageM, levelM: 100 }));
  assert.deepEqual([...silted({ ...section, bed: flat, dams: [at(5, 100, { toeLevelM: 99 })] }).values()], [5], "no farther than the bed");
});

test("round numbers on an axis, and a section that can be drawn", () => {
  const values = (from: number, to: number, most: number) => ticks(from, to, most).map((t) => t.text);
  assert.deepEqual(values(0, 10, 5), ["0", "2", "4", "6", "8", "10"]);
  assert.deepEqual(values(0, 10, 4.9), ["0", "5", "10"]);
  assert.deepEqual(values(0.1, 0.5, 4), ["0.1", "0.2", "0.3", "0.4", "0.5"]);
  assert.deepEqual(values(99.99, 100.02, 3.1), ["99.99", "100.00", "100.01", "100.02"]);
  assert.deepEqual(values(0, 1000, 1), ["0", "1\u202f000"]);
  assert.deepEqual([values(5, 5, 4), values(5, 4, 4)], [["5.00"], ["5.00"]]);
  assert.deepEqual(
    [canDraw(section), canDraw({ ...section, bed: section.bed.slice(0, 1) }), canDraw({ ...section, bed: [] })],
    [true, false, false],
  );
});

test("a gully that begins elsewhere is drawn the same", () => {
  const by = <T extends { chainageM: number }>(all: readonly T[]) => all.map((one) => ({ ...one, chainageM: one.chainageM + 20 }));
  const shifted = draw({ ...section, bed: by(section.bed), dams: by(section.dams) }, { widthPx: 1000, fontPx: f });
  assert.deepEqual(
    [shifted.bed, shifted.dams.map((dam) => dam.x), shifted.crests.map((c) => c.x2)],
    [d.bed, d.dams.map((dam) => dam.x), d.crests.map((c) => c.x2)],
  );
});

test("a hump is measured from the lower crest up to where the bed stands", () => {
  const hump = draw(
    {
      ...section,
      pairs: [{ lower: "a", upper: "b", spacingM: 30, stepM: 0, verdict: "hump", hump: { chainageM: 38, aboveM: 0.1 } }, ...section.pairs],
    },
    { widthPx: 1000, fontPx: f },
  );
  const [first, second] = hump.faults;
  near(first!.y1 - first!.y2, d.faults[0]!.y1 - d.faults[0]!.y2, "a decimetre");
  near(second!.label.y - first!.label.y, 1.4 * f, "the next words stand a row lower");
});
