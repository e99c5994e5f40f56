// Where symbols stand on the map, and the crosses of a work that was removed.

import assert from "node:assert/strict";
import test from "node:test";
import LineString from "ol/geom/LineString.js";
import MultiLineString from "ol/geom/MultiLineString.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import { isShifted, placesAlong, shifted, symbolPlace, unshifted } from "./symbolplace.ts";

const square = (x: number): number[][][] => [
  [
    [x, 0],
    [x + 10, 0],
    [x + 10, 10],
    [x, 10],
    [x, 0],
  ],
];
const at = (geometry: Parameters<typeof symbolPlace>[0]) => (symbolPlace(geometry) as Point).getCoordinates().slice(0, 2);

test("a symbol stands on a place, halfway along a line, and inside an area; of several on the first", () => {
  assert.deepEqual(at(new Point([3, 4])), [3, 4]);
  assert.deepEqual(
    at(
      new LineString([
        [0, 0],
        [10, 0],
        [10, 10],
      ]),
    ),
    [10, 0],
  );
  assert.deepEqual(
    at(
      new MultiLineString([
        [
          [0, 0],
          [10, 0],
        ],
        [
          [50, 0],
          [60, 0],
        ],
      ]),
    ),
    [5, 0],
  );
  assert.deepEqual(at(new Polygon(square(0))), [5, 5]);
  assert.deepEqual(at(new MultiPolygon([square(0), square(100)])), [5, 5]);
  const none = new MultiPolygon([]);
  assert.equal(symbolPlace(none), none);
  assert.deepEqual(
    shifted(
      new LineString([
        [0, 0],
        [10, 0],
      ]),
      [2, -3],
    ),
    [7, -3],
  );
  assert.deepEqual([isShifted(unshifted), isShifted([1, 0]), isShifted([0, -1]), isShifted([0, 0, "small"])], [false, true, true, false]);
});

test("places along a line are evenly apart, the first half a step in, at least one and at most four hundred", () => {
  const line = new LineString([
    [0, 0],
    [100, 0],
  ]);
  assert.deepEqual(placesAlong(line, 50), [
    [25, 0],
    [75, 0],
  ]);
  assert.deepEqual(placesAlong(line, 66), [
    [25, 0],
    [75, 0],
  ]);
  assert.deepEqual(placesAlong(line, 67), [[50, 0]]);
  assert.deepEqual(placesAlong(line, 1000), [[50, 0]]);
  assert.equal(placesAlong(line, 0.1).length, 400);
  assert.equal(
    placesAlong(
      new MultiLineString([
        [
          [0, 0],
          [10, 0],
        ],
        [
          [50, 0],
          [60, 0],
        ],
      ]),
      100,
    ).length,
    2,
  );
  assert.equal(placesAlong(new Polygon(square(0)), 10).length, 4);
  assert.equal(placesAlong(new MultiPolygon([square(0), square(100)]), 10).length, 8);
  assert.deepEqual(placesAlong(new Point([1, 1]), 10), []);
});
