// Which lengths a number may have been meant as, that was typed in metres.

import assert from "node:assert/strict";
import test from "node:test";
import type { Field } from "../../base/kinds.ts";
import { meantBy } from "./meant.ts";

test("a number in metres may have been read off in centimetres or millimetres, where that can be", () => {
  const height: Field = { name: "x", label: "X", type: "number", unit: "m", min: 0, max: 10 };
  for (const [value, field, want] of [
    [35, height, ["0.35", "0.035"]],
    [0.5, height, ["0.005"]], // nothing smaller is measured
    [0.49, height, []],
    [1100, height, ["1.1"]],
    [1000, height, ["10", "1"]],
    [70, { ...height, max: 0.5 }, ["0.07"]],
    [0, height, []],
    [-35, height, []],
    [NaN, height, []],
    [35, { ...height, unit: "°" }, []],
  ] as [number, Field, string[]][])
    assert.deepEqual(
      meantBy(field, value).map((m) => m.text),
      want,
      `${value} ${field.unit}, at most ${field.max}`,
    );
  assert.deepEqual(
    meantBy(height, 35, (metres) => metres > 0.1),
    [{ text: "0.35", words: "35 cm" }],
  );
});
