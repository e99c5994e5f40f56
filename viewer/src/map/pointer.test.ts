// Which of the things that are drawn a finger means.

import assert from "node:assert/strict";
import test from "node:test";
import Feature from "ol/Feature.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import { nearest } from "./pointer.ts";

const square = [
  [
    [0, 0],
    [400, 0],
    [400, 400],
    [0, 400],
    [0, 0],
  ],
];
const area = new Polygon(square); // its symbol at 200, 200
const along = new LineString([
  [0, 0],
  [400, 0],
]);

test("a finger means what lies within half a target of it, the nearest, and an area only where nothing lies in it", () => {
  for (const [name, things, at, want, resolution = 1] of [
    ["a point", { p: new Point([10, 0]) }, [38, 0], "p"],
    ["a point too far", { p: new Point([10, 0]) }, [38.1, 0], null],
    ["farther out on the ground", { p: new Point([10, 0]) }, [66, 0], "p", 2],
    ["closer in", { p: new Point([10, 0]) }, [25, 0], null, 0.5],
    ["one of points", { p: new MultiPoint([[500, 0], [10, 0]]) }, [20, 10], "p"], // biome-ignore format: a place each
    ["the nearer", { far: new Point([20, 0]), near: new Point([-10, 0]) }, [0, 0], "near"],
    ["the first of two as near", { first: new Point([10, 0]), second: new Point([-10, 0]) }, [0, 0], "first"],
    ["a line", { l: along }, [50, -28], "l"],
    ["a line too far", { l: along }, [50, 28.1], null],
    ["what has no place", { none: undefined, l: along }, [50, 0], "l"],
    ["an area, far from its symbol", { a: area }, [50, 350], "a"],
    ["areas", { a: new MultiPolygon([square]) }, [50, 350], "a"],
    ["beside an area", { a: area }, [-27, 200], "a"],
    ["too far beside it", { a: area }, [-28.1, 200], null],
    ["a point within an area", { a: area, p: new Point([50, 376]) }, [50, 350], "p"],
    ["a point within areas", { a: new MultiPolygon([square]), p: new Point([50, 376]) }, [50, 350], "p"],
    ["an area round a point that is farther", { a: area, p: new Point([50, 377.5]) }, [50, 350], "a"],
    ["the symbol of an area", { p: new Point([210, 200]), a: area }, [201, 200], "a"],
  ] as readonly [string, { readonly [thing: string]: Geometry | undefined }, readonly [number, number], string | null, number?][]) {
    const drawn = Object.entries(things).map(([thing, geometry]) => [thing, new Feature(geometry)] as const);
    assert.equal(nearest(drawn as readonly (readonly [string, Feature<Geometry>])[], at, resolution), want, name);
  }
});
