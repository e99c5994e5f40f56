import assert from "node:assert/strict";
import test from "node:test";
import type { Geometry } from "./entry.ts";
import { awayTo, awayWords } from "./away.ts";
import { metresPerDegree } from "./plane.ts";

const from = { lon: 146.5, lat: -20.25 };
const per = metresPerDegree(from.lat);
const at = (eastM: number, northM: number): [number, number] => [from.lon + eastM / per.east, from.lat + northM / per.north];

test("the way to every shape leads to its nearest place", () => {
  const square = (x: number, y: number, half: number) => [
    at(x - half, y - half),
    at(x + half, y - half),
    at(x + half, y + half),
    at(x - half, y + half),
    at(x - half, y - half),
  ];
  const cases: readonly [string, Geometry, number | undefined, number?][] = [
    ["a point", { type: "Point", coordinates: at(0, 100) }, 100, 0],
    ["points", { type: "MultiPoint", coordinates: [at(0, 100), at(40, 0)] }, 40, 90],
    [
      "points as near as each other: the first",
      {
        type: "MultiPoint",
        coordinates: [
          [146.75, -20.25],
          [146.25, -20.25],
        ],
      },
      0.25 * per.east,
      90,
    ],
    ["a line passed beside", { type: "LineString", coordinates: [at(-100, -50), at(100, -50)] }, 50, 180],
    [
      "a broken walk",
      {
        type: "MultiLineString",
        coordinates: [
          [at(200, 0), at(200, 100)],
          [at(-100, 30), at(-30, 30)],
        ],
      },
      Math.hypot(30, 30),
      315,
    ],
    ["an area from outside", { type: "Polygon", coordinates: [square(100, 0, 20)] }, 80, 90],
    ["an area from inside", { type: "Polygon", coordinates: [square(0, 0, 20)] }, 0],
    [
      "the middle of an area with corners level with it",
      { type: "Polygon", coordinates: [[at(0, 20), at(20, 0), at(0, -20), at(-20, 0), at(0, 20)]] },
      0,
    ],
    ["the hole of an area", { type: "Polygon", coordinates: [square(0, 0, 100), square(0, 0, 10)] }, 10],
    ["areas", { type: "MultiPolygon", coordinates: [[square(300, 0, 20)], [square(0, -60, 20)]] }, 40, 180],
    [
      "a collection",
      {
        type: "GeometryCollection",
        geometries: [
          { type: "Point", coordinates: at(0, 90) },
          { type: "LineString", coordinates: [at(70, -10), at(70, 10)] },
        ],
      },
      70,
      90,
    ],
    ["nothing", { type: "MultiLineString", coordinates: [] }, undefined],
  ];
  for (const [name, geometry, distanceM, bearingDeg] of cases) {
    const away = awayTo(geometry, from);
    if (distanceM === undefined) assert.equal(away, undefined, name);
    else assert.ok(away && Math.abs(away.distanceM - distanceM) < 0.01, `${name}: ${away?.distanceM} m, want ${distanceM}`);
    if (bearingDeg !== undefined)
      assert.ok(Math.abs(((away!.bearingDeg - bearingDeg + 540) % 360) - 180) < 0.1, `${name}: ${away?.bearingDeg}°, want ${bearingDeg}`);
  }
  assert.equal(awayTo(null, from), undefined);
});

test("a way shorter than the position is good for is here", () => {
  assert.equal(awayWords({ distanceM: 4.9, bearingDeg: 10 }, 5), "here");
  assert.equal(awayWords({ distanceM: 120.4, bearingDeg: 44 }, 5), "120 m north-east");
  assert.equal(awayWords(undefined, 5), "");
});
