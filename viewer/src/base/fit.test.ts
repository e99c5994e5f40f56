import assert from "node:assert/strict";
import test from "node:test";
import { fit } from "./fit.ts";

test("positions fill a sheet up to its margins, north up and to one scale", () => {
  const line = [
    [146, -60],
    [146.002, -60], // at 60° S a degree of longitude is half as long as one of latitude
  ] as const;
  assert.deepEqual(line.map(fit(line, 100, 60, 10)), [
    [10, 30],
    [90, 30],
  ]);
  assert.deepEqual(fit(line, 100, 60, 10)([146, -59.9995]), [10, -10], "40 up: half of 80, as half of the length");
  const high = [
    [0, 10],
    [0, 10.001],
  ] as const;
  assert.deepEqual(high.map(fit(high, 100, 60, 10, 5)), [
    [50, 55],
    [50, 5],
  ]);
});

test("a point alone stands in the middle, and a line over the antimeridian or at any other meridian is short", () => {
  assert.deepEqual(fit([[146, -20]], 100, 60, 10)([146, -20]), [50, 30]);
  for (const [west, east] of [
    [179.999, -179.999],
    [89.999, 90.001],
    [-0.001, 0.001],
  ] as const) {
    const line = [
      [west, 0],
      [east, 0],
    ] as const;
    assert.deepEqual(
      line.map(fit(line, 100, 60, 10)),
      [
        [10, 30],
        [90, 30],
      ],
      `from ${west}`,
    );
  }
});
