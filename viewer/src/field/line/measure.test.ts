import assert from "node:assert/strict";
import test from "node:test";
import type { Model } from "../field.ts";
import { begun, type Spot } from "./course.ts";
import { measure } from "./measure.ts";

const spot = (lon: number, how: Spot["how"], more: Partial<Spot> = {}): Spot => ({ lon, lat: -20, accuracyM: 4, atMS: 0, how, ...more });

test("a length and an area are asked with how their positions came: walked, or drawn where any was", async () => {
  const cases: readonly [string, readonly Spot[], "GPS" | "drawn on the map"][] = [
    ["walked", [spot(146, "walked"), spot(146.001, "walked"), spot(146.002, "stood")], "GPS"],
    ["one tapped", [spot(146, "walked"), spot(146.001, "tapped"), spot(146.002, "walked")], "drawn on the map"],
    ["one on the gully bed", [spot(146, "walked"), spot(146.001, "walked", { snappedTo: "g" }), spot(146.002, "walked")], "drawn on the map"],
  ];
  for (const [name, spots, basis] of cases) {
    for (const shape of ["line", "area"] as const) {
      const asked: unknown[] = [];
      const model = { compute: async (_: string, input: { basis?: unknown }) => (asked.push(input.basis), { lengthM: 1, perimeterM: 1, areaM2: 1 }) } as unknown as Model;
      await measure(model, { ...begun(shape), pieces: [spots] });
      assert.deepEqual(asked, [basis], `${name}, ${shape}`);
    }
  }
});
