import assert from "node:assert/strict";
import test from "node:test";
import { unbroken, withPlusMinus } from "./number.ts";

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

test("a number keeps to its unit and its plus-minus where a text is shown, and nothing else is kept together", () => {
  const cases: readonly [string, string][] = [
    ["It is 1.20 ± 0.05 m high", "It is 1.20_±_0.05_m high"],
    ["out by 4.0 mm, 10.0 mm allowed", "out by 4.0_mm, 10.0_mm allowed"],
    ["45 m², 3 m³, 0.45 ha, 12 t, 2 km.", "45_m², 3_m³, 0.45_ha, 12_t, 2_km."],
    ["2.1 % in 0.15 m a year", "2.1_% in 0.15_m a year"],
    ["5 metres, 3 head, 4 kmh, 2 more", "5 metres, 3 head, 4 kmh, 2 more"],
    ["±4 m, ± not known", "±4_m, ±_not known"],
  ];
  for (const [text, want] of cases) assert.equal(unbroken(text).replace(/\u00a0/g, "_"), want);
});
