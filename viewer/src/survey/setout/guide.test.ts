import assert from "node:assert/strict";
import test from "node:test";
import { amount, askReading, guide, wantedReading, wayTo } from "./guide.ts";

/** What staff-reading answers: reading = line of sight - level wanted; off = level here - level wanted. */
function answer(input: ReturnType<typeof askReading>) {
  const levelM = input.readM == null ? undefined : input.instrumentLevelM - input.readM;
  return {
    readingM: input.instrumentLevelM - input.targetLevelM,
    ...(levelM === undefined ? {} : { levelM, offM: levelM - input.targetLevelM }),
  };
}

test("a reading that is too great sends the staff up", () => {
  const got = answer(askReading(101.842, 100.407, 1.62, false));
  assert.ok(Math.abs(got.readingM - 1.435) < 1e-9);
  assert.deepEqual(guide(got.offM, 0.05), { state: "up", words: "Go up 0.19 m" });
  assert.deepEqual(guide(answer(askReading(101.842, 100.407, 1.25, false)).offM, 0.05), { state: "down", words: "Go down 0.19 m" });
});

test("the way to go always brings the reading nearer, both ways, with both staffs", () => {
  let seed = 99;
  const random = () => (seed = (seed * 1103515245 + 12345) % 2147483648) / 2147483648;
  for (let i = 0; i < 5000; i++) {
    const sightM = 100 + 50 * random(),
      targetM = sightM - 4 * random(),
      read = Math.round(4 * random() * 1e4) / 1e4;
    const wanted = sightM - targetM;
    const off = answer(askReading(sightM, targetM, read, false)).offM;
    const told = guide(off, 0.02);
    const at = `sight ${sightM} target ${targetM} read ${read}`;
    if (Math.abs(read - wanted) <= 0.02) assert.equal(told.state, "hold", at);
    else assert.equal(told.state, read > wanted ? "up" : "down", at);
    // A direct-reading staff shows more the higher the ground: the same place, the same way.
    const direct = Math.round((sightM - read - sightM) * 1e4) / 1e4;
    const other = answer(askReading(sightM, targetM, direct, true));
    assert.equal(guide(other.offM, 0.02).state, told.state, `direct ${at}`);
    assert.ok(Math.abs(wantedReading(other, true) + wanted) < 1e-3, `direct wanted ${wantedReading(other, true)}, ${at}`);
  }
});

test("within the tolerance the staff holds, at it too", () => {
  assert.deepEqual(guide(0, 0.05), { state: "hold", words: "Hold: on the level" });
  assert.equal(guide(0.05, 0.05).state, "hold");
  assert.deepEqual(guide(-0.03, 0.05), { state: "hold", words: "Hold: 0.030 m low" });
  assert.equal(guide(0.0511, 0.05).state, "down");
  assert.equal(guide(-0.0511, 0.05).state, "up");
  assert.deepEqual(guide(undefined, 0.05), { state: "none", words: "" });
});

test("heights are said to the centimetre, and finer where a centimetre is much", () => {
  for (const [m, want] of [
    [0.185, "0.19 m"],
    [-0.185, "0.19 m"],
    [1.004, "1.00 m"],
    [0.0994, "0.099 m"],
    [0.0996, "0.10 m"],
    [0.004, "0.004 m"],
  ] as const) {
    assert.equal(amount(m), want, String(m));
  }
});

test("a receiver that cannot tell is not believed", () => {
  const way = (distanceM: number, plusMinusM: number) => wayTo("From Dam 1:", distanceM, 12, plusMinusM);
  const arrow = { bearingDeg: 12, distance: "12 m" };
  assert.deepEqual(way(12.2, 3), { words: "From Dam 1: 12 m north, ±3 m by GPS.", arrow });
  assert.deepEqual(way(12.2, 5), { words: "From Dam 1: About 12 m north: pace it, ±5 m by GPS.", arrow });
  assert.deepEqual(way(4, 5), {
    words: "From Dam 1: Within 5 m: pace it, ±5 m by GPS.",
    arrow: { bearingDeg: undefined, distance: "here" },
  });
  assert.equal(way(5, 5).arrow?.distance, "here", "as far as both can tell");
  assert.equal(way(9.3, 2).arrow?.distance, "9.5 m", "near it, by half metres");
});
