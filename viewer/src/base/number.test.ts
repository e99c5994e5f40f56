import assert from "node:assert/strict";
import test from "node:test";
import { withPlusMinus } from "./number.ts";

test("a value ends where its plus-minus does", () => {
  const cases: readonly [number, number, string][] = [
    [9.04, 0.43, "9.0 ± 0.4"],
    [9.04, 7.2, "9 ± 7"],
    [0.1845, 0.0028, "0.185 ± 0.003"],
    [12.34, 1.04, "12.3 ± 1.0"],
    [790.2, 172, "790 ± 170"],
    [61.2, 11, "61 ± 11"],
    [793, 96, "790 ± 100"],
    [8012, 407, "8\u202f000 ± 400"],
    [-0.0012, 0.007, "\u22120.001 ± 0.007"],
    [5, 1.94, "5.0 ± 1.9"],
    [5, 1.95, "5 ± 2"],
    [0.05, 0.0004, "0.050 ± 0.000"],
  ];
  for (const [value, doubt, want] of cases) assert.equal(withPlusMinus(value, doubt), want);
});
