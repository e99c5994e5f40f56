import assert from "node:assert/strict";
import test from "node:test";
import { type Across, below, canDrawAcross, drawAcross } from "./across.ts";

// 2 m wide at its bottom, with walls of 1 in 2 on the left and 1 in 1 on the right.
const gully: Across = {
  points: [
    { offsetM: -4, levelM: 100.5 },
    { offsetM: -1, levelM: 99 },
    { offsetM: 0, levelM: 99 },
    { offsetM: 1, levelM: 99 },
    { offsetM: 2.6, levelM: 100.6 },
  ],
  levels: [{ name: "Dam 1", levelM: 99.5, planned: false }],
};
const paper = { widthPx: 360, fontPx: 16 };
const near = (a: number, b: number) => assert.ok(Math.abs(a - b) < 0.02, `${a}, want ${b}`);
const pointsOf = (path: string): number[][] => [...path.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]);

test("offsets and levels are drawn to scale, heights so many times larger as is said", () => {
  for (const widthPx of [250, 360, 900]) {
    const d = drawAcross(gully, { ...paper, widthPx });
    const at = pointsOf(d.bed);
    assert.equal(at.length, gully.points.length);
    const pxPerM = (d.plot.right - d.plot.left) / 6.6;
    gully.points.forEach((p, i) => {
      near(at[i]![0]!, d.plot.left + (p.offsetM + 4) * pxPerM);
      near(at[i]![1]! - at[4]![1]!, (100.6 - p.levelM) * pxPerM * d.exaggeration);
    });
    near(d.thalwegX!, d.plot.left + 4 * pxPerM);
    assert.ok(d.plot.bottom < d.height && at.every(([x, y]) => x! >= 0 && x! <= d.width && y! > 0 && y! < d.plot.bottom));
  }
});

test("a notch reaches from wall to wall at its level", () => {
  const spans = (of: Across["points"], levelM: number) => below(of, levelM).map((span) => span.map((m) => Math.round(m * 1e6) / 1e6));
  assert.deepEqual(spans(gully.points, 99.5), [[-2, 1.5]]);
  const bar = [0, -1, 0.5, -1, 1].map((levelM, i) => ({ offsetM: i, levelM }));
  assert.deepEqual(spans(bar, 0.25), [
    [0, 1.833333],
    [2.166667, 3.625],
  ]);
  assert.deepEqual(spans(bar, 2), [[0, 4]], "above all of it, from end to end");
  assert.deepEqual(spans(bar, -1), [], "nothing is below its lowest");
  const d = drawAcross(gully, paper);
  const [x1, x2] = [d.notches[0]!.line.match(/M([\d.]+)/)![1]!, d.notches[0]!.line.match(/H([\d.]+)/)![1]!].map(Number);
  near((x2! - x1!) / ((d.plot.right - d.plot.left) / 6.6), 3.5);
});

test("one place across is no drawing", () => {
  assert.equal(canDrawAcross({ points: [gully.points[0]!, { offsetM: -4, levelM: 3 }], levels: [] }), false);
  assert.equal(canDrawAcross(gully), true);
});
