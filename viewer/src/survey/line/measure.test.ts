import assert from "node:assert/strict";
import test from "node:test";
import type { Model } from "../../compute/model.ts";
import { begun, type Spot } from "./recording.ts";
import { measure } from "./measure.ts";
import { closingWords, lengthWords } from "./words.ts";

const spot = (lon: number, how: Spot["how"], more: Partial<Spot> = {}): Spot => ({ lon, lat: -20, accuracyM: 4, atMS: 0, how, ...more });

test("a length and an area are asked with how their positions came: walked, or drawn where any was", async () => {
  const cases: readonly [string, readonly Spot[], "GPS" | "drawn on the map"][] = [
    ["walked", [spot(146, "walked"), spot(146.001, "walked"), spot(146.002, "stood")], "GPS"],
    ["one tapped", [spot(146, "walked"), spot(146.001, "tapped"), spot(146.002, "walked")], "drawn on the map"],
    [
      "one on the gully bed",
      [spot(146, "walked"), spot(146.001, "walked", { snappedTo: "g" }), spot(146.002, "walked")],
      "drawn on the map",
    ],
  ];
  for (const [name, spots, basis] of cases) {
    for (const shape of ["line", "area"] as const) {
      const asked: unknown[] = [];
      const model = {
        compute: async (_: string, input: { basis?: unknown }) => {
          asked.push(input.basis);
          return { lengthM: 1, perimeterM: 1, areaM2: 1 };
        },
      } as unknown as Model;
      await measure(model, { ...begun(shape), pieces: [spots], closed: shape === "area" });
      assert.deepEqual(asked, [basis], `${name}, ${shape}`);
    }
  }
});

test("a boundary that is open is measured as drawn, and apart from that as it would be closed", async () => {
  const model = {
    compute: async (name: string) =>
      name === "line" ? { lengthM: 80, plusMinusM: 9 } : { perimeterM: 136, perimeterPlusMinusM: 13, areaM2: 790, plusMinusM2: 172 },
  } as unknown as Model;
  const recording = { ...begun("area"), pieces: [[spot(146, "walked"), spot(146.001, "walked"), spot(146.002, "walked")]] };
  const open = await measure(model, recording);
  assert.deepEqual([open.lengthM, open.areaM2, open.ifClosed?.lengthM, open.ifClosed?.areaM2], [80, undefined, 136, 790]);
  assert.equal(lengthWords(open), "80 ± 9 m");
  assert.equal(closingWords(open), "Joining the ends adds 56 m: perimeter 136 ± 13 m, area 790 ± 170 m²");
  const closed = await measure(model, { ...recording, closed: true });
  assert.deepEqual([closed.lengthM, closed.areaM2, closed.ifClosed, closingWords(closed)], [136, 790, undefined, ""]);
});
