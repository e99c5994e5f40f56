// Where the mean of fixes begins again, at its bounds; what screens make of it, listen.test.ts tries.

import assert from "node:assert/strict";
import test from "node:test";
import { metresBetween, moved } from "../base/plane.ts";
import type { RawFix } from "./fix.ts";
import { type Mean, meanOf, noMean, taken } from "./mean.ts";

const start = { lon: 146.3, lat: -25.5 };
const fix = (eastM: number, northM: number, atS: number, accuracyM = 4, more: Partial<RawFix> = {}): RawFix =>
  ({ ...moved(start, eastM, northM), accuracyM, atMS: 1000 * atS, ...more }) as RawFix;
const after = (...fixes: readonly RawFix[]): Mean => fixes.reduce(taken, noMean);

test("four steps the same way are a walk, and fewer, shorter, slower or crooked ones are not", () => {
  const steps = (each: (i: number) => readonly [number, number], n = 4, everyS = 1) =>
    after(...Array.from({ length: n + 1 }, (_, i) => fix(...each(i), i * everyS))).stand;
  const walked = 2; // the mean began with the first fix, and again
  for (const [name, stand, want] of [
    ["half a metre a second", steps((i) => [i / 2, 0]), walked],
    ["three steps", steps((i) => [i / 2, 0], 3), 1],
    ["a pace of 0.41 m/s", steps((i) => [0.41 * i, 0]), walked],
    ["a pace of 0.39 m/s", steps((i) => [0.39 * i, 0]), 1],
    ["a step of 0.24 m among them", steps((i) => [i < 2 ? i : i - 0.76, 0]), 1],
    ["a step of 0.26 m among them", steps((i) => [i < 2 ? i : i - 0.74, 0]), walked],
    ["a step back", steps((i) => [[0, 1, 0.5, 1.5, 2.5][i]!, 0]), 1],
    ["steps that swerve by less than they lead on", steps((i) => [i, i % 2 ? 0.9 : 0]), walked],
    ["steps that swerve by more", steps((i) => [i, i % 2 ? 1.1 : 0]), 1],
    ["standing in one place", steps(() => [0, 0]), 1],
  ] as const)
    assert.equal(stand, want, name);
  const still = [0, 1, 2, 3].map((i) => fix(i, 0, 5)); // of one and the same second
  assert.equal(after(...still, fix(4, 0, 5)).stand, 1, "no time passed");
});

test("the receiver's own speed tells a walk from 0.7 m/s on", () => {
  for (const [speedMps, stand] of [
    [0.69, 1],
    [0.7, 2],
  ] as const)
    assert.equal(after(fix(0, 0, 0), fix(0, 0, 1, 4, { speedMps })).stand, stand, `${speedMps} m/s`);
});

test("a fix farther off than both can doubt is put aside; as many as the mean had, or three, begin another", () => {
  const farM = (m: number, atS: number) => fix(m, 0, atS);
  assert.equal(after(fix(0, 0, 0), fix(0, 0, 1), farM(15.9, 2)).fixes.length, 3, "within twice both accuracies");
  const aside = after(fix(0, 0, 0), fix(0, 0, 1), farM(16.1, 2));
  assert.deepEqual([aside.fixes.length, aside.aside.length, aside.stand], [2, 1, 1]);
  const back = taken(aside, fix(0, 0, 3));
  assert.deepEqual([back.fixes.length, back.aside.length], [3, 0], "one that lies where the mean is takes it back");
  const two = taken(aside, farM(16.1, 3));
  assert.deepEqual([two.fixes.length, two.stand], [2, 2], "as many as there were");
  const four = [0, 1, 2, 3].map((s) => fix(0, 0, s));
  assert.equal(after(...four, farM(30, 4), farM(30, 5)).stand, 1);
  assert.equal(after(...four, farM(30, 4), farM(30, 5), farM(30, 6)).stand, 2);
});

test("nobody runs faster than five metres a second, whatever both may be out: the receiver jumped", () => {
  for (const [m, jumped] of [
    [6.9, false], // five of a second's run, and one of either's accuracy
    [7.1, true],
  ] as const) {
    const { stand, jumped: is } = after(fix(0, 0, 0, 1), fix(m, 0, 1, 1));
    assert.deepEqual([stand, is], [2, jumped], `${m} m`);
  }
});

test("the newest three that draw away by more than a fix is good for are where she is now", () => {
  const drift = (m: number) => after(...[0, 1, 2, 3].map((s) => fix(0, 0, s)), ...[4, 5, 6].map((s) => fix(m, 0, s)));
  assert.equal(drift(3.9).stand, 1);
  const away = drift(4.1);
  assert.deepEqual([away.stand, away.fixes.length], [2, 3]);
});

test("each fix weighs as it is good, and the mean is no better than they are or lie apart", () => {
  assert.equal(meanOf({ fixes: [] }), null);
  const mean = meanOf({ fixes: [fix(0, 0, 0, 2, { heightM: 100 }), fix(10, 0, 1, 4, { heightM: 110 }), fix(0, 0, 2, 4)] })!;
  assert.ok(Math.abs(metresBetween(mean, moved(start, 0, 0)) - 10 / 6) < 1e-3, "1/16 of 1/4 + 1/16 + 1/16");
  assert.ok(Math.abs(mean.heightM! - 102) < 1e-9, "of those that have one");
  assert.ok(mean.accuracyM >= Math.sqrt(3 / 0.375) - 1e-9);
  assert.equal("heightM" in meanOf({ fixes: [fix(0, 0, 0)] })!, false);
});
