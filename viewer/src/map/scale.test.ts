import assert from "node:assert/strict";
import test from "node:test";
import { metresText, roundBelow, scaleBar } from "./scale.ts";

test("a scale bar is the longest of 1, 2 or 5 times a power of ten that fits", () => {
  const rounds = [0.1, 0.99, 1, 1.99, 2, 4.99, 5, 9.99, 10, 999, 1000].map(roundBelow);
  assert.deepEqual(rounds, [0.1, 0.5, 1, 1, 2, 2, 5, 5, 10, 500, 1000]);
  assert.deepEqual([0, -1, NaN, Infinity].map(roundBelow), [1, 1, 1, 1], "no length");
  assert.deepEqual(scaleBar(2, 300), { metres: 500, px: 250, text: "500\u00a0m" });
});

test("a length from a kilometre on is in kilometres", () => {
  assert.deepEqual([999, 1000, 2000].map(metresText), ["999\u00a0m", "1\u00a0km", "2\u00a0km"]);
});
