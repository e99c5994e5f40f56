import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { drawing, pathOf } from "./drawing.ts";

const feature = (id: string, more: Partial<Feature> = {}, fields: Fields = {}): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: { me: 1 },
  stamp: "0",
  unsent: 0,
  ...more,
});

test("a drawing keeps everything inside its sheet, with north up", () => {
  const at = (lon: number, lat: number) => ({ geometry: { type: "Point", coordinates: [lon, lat] } });
  const drawn = drawing(
    [
      feature("south", {}, at(146.5, -20.26)),
      feature("north", {}, at(146.5, -20.25)),
      feature(
        "line",
        {},
        {
          geometry: {
            type: "LineString",
            coordinates: [
              [146.49, -20.25],
              [146.52, -20.26],
            ],
          },
        },
      ),
      feature("struck", { struck: true }, at(0, 0)),
      feature("placeless"),
    ],
    [146.505, -20.255],
    360,
    150,
  );
  const points = Object.fromEntries(drawn.shapes.map((s) => [s.id, s.pieces.flat()]));
  assert.equal(drawn.shapes.length, 3);
  assert.ok(points["north"]![0]![1] < points["south"]![0]![1], "north is not above south");
  for (const [x, y] of [...drawn.shapes.flatMap((s) => s.pieces.flat()), drawn.here!])
    assert.ok(x >= 0 && x <= 360 && y >= 0 && y <= 150, `${x} ${y} is off the sheet`);
  assert.match(pathOf(drawn.shapes[2]!), /^M[\d.]+ [\d.]+L/);
});

test("one item alone is drawn in the middle", () => {
  const drawn = drawing([feature("one", {}, { geometry: { type: "Point", coordinates: [146.5, -20.25] } })], undefined, 360, 150);
  assert.deepEqual(drawn.shapes[0]!.pieces, [[[180, 75]]]);
  assert.deepEqual(drawing([], undefined, 360, 150).shapes, []);
});

test("what lies in several pieces is drawn piece by piece, and a line's gap stays open", () => {
  const [a, b, c, d] = [
    [146.5, -20.25],
    [146.5, -20.251],
    [146.5, -20.252],
    [146.5, -20.253],
  ] as const;
  const cases = [
    [
      "MultiLineString",
      [
        [a, b],
        [c, d],
      ],
      /^M[\d. ]+L[\d. ]+M[\d. ]+L[\d. ]+$/,
    ],
    ["Polygon", [[a, b, c, a]], /^M[\d. L]+z$/],
    ["MultiPoint", [a, d], /^M[\d. ]+h\.1M[\d. ]+h\.1$/],
    ["MultiPolygon", [[[a, b, c, a]], [[b, c, d, b]]], /^M[\d. L]+zM[\d. L]+z$/],
  ] as const;
  for (const [type, coordinates, want] of cases) {
    const [shape] = drawing([feature("it", {}, { geometry: { type, coordinates } })], undefined, 360, 150).shapes;
    assert.match(shape ? pathOf(shape) : "", want, type);
  }
});
