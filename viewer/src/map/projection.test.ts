// Places on the earth and on the map, also across the antimeridian.

import assert from "node:assert/strict";
import test from "node:test";
import type { Geometry } from "../base/entry.ts";
import { metresPerDegree } from "../base/plane.ts";
import { groundMetresPerUnit, offMap, project, referenceLongitude } from "./projection.ts";

const perDegree = (6378137 * Math.PI) / 180;

test("a place is drawn near the others, on whichever side of the antimeridian they lie, and told as it is", () => {
  for (const [lon, near, drawn] of [
    [146.5, 146.5, 146.5],
    [-179.9, 179.9, 180.1],
    [179.9, -179.9, -180.1],
    [179.9, 179.9, 179.9],
    [-179.9, 0, -179.9],
  ] as const) {
    const at = project([lon, -20.25], near);
    assert.ok(Math.abs(at[0] / perDegree - drawn) < 1e-9, `${lon} near ${near} is drawn at ${at[0] / perDegree}`);
    const { lon: back, lat } = offMap(at);
    assert.ok(Math.abs(back - lon) < 1e-9 && Math.abs(lat + 20.25) < 1e-9, `${back} ${lat}`);
  }
  assert.ok(project([0, 90], 0)[1] === project([0, 85], 0)[1] && project([0, -90], 0)[1] === project([0, -85], 0)[1], "a pole");
});

test("a unit of the map is as long on the ground as a degree there says", () => {
  for (const lat of [0, -20.25, 45, -60]) {
    const [, northing] = project([0, lat], 0);
    const want = metresPerDegree(lat).east / perDegree;
    assert.ok(Math.abs(groundMetresPerUnit(northing) - want) < 1e-12, `at ${lat}: ${groundMetresPerUnit(northing)}, want ${want}`);
  }
});

test("everything is drawn round the first longitude there is", () => {
  const at = [146.5, -20] as const;
  const none: Geometry = { type: "LineString", coordinates: [] };
  for (const [name, geometries, want] of [
    ["nothing", [], 0],
    ["a point", [{ type: "Point", coordinates: at }], 146.5],
    ["an area", [{ type: "Polygon", coordinates: [[at, [147, -20], [147, -21], at]] }], 146.5], // biome-ignore format: a place each
    ["what has no place comes first", [null, undefined, none, { type: "Point", coordinates: at }], 146.5],
    ["a collection", [{ type: "GeometryCollection", geometries: [none, { type: "Point", coordinates: at }] }], 146.5],
    ["a collection of nothing", [{ type: "GeometryCollection", geometries: [] }], 0],
  ] as readonly [string, readonly (Geometry | null | undefined)[], number][])
    assert.equal(referenceLongitude(geometries), want, name);
});
