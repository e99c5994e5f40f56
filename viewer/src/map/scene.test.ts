import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../base/entry.ts";
import { inSight, mostSymbols, nameReaches, namesUpTo, sceneOf, wholeBox } from "./scene.ts";

const thing = (id: string, geometry: unknown, more: Partial<Feature> = {}): Feature => ({
  id,
  property: "p",
  fields: { kind: "peg", name: id, geometry },
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
  ...more,
});
const point = (lon: number, lat: number) => ({ type: "Point", coordinates: [lon, lat] });
const world = { west: -360, south: -90, east: 360, north: 90 };

test("a scene has what has a place and is not struck out", () => {
  const scene = sceneOf([
    thing("a", point(146, -20)),
    thing("none", null),
    thing("struck", point(1, 1), { struck: true }),
    thing("line", {
      type: "LineString",
      coordinates: [
        [146, -20],
        [147, -21],
      ],
    }),
  ]);
  assert.deepEqual(
    scene.things.map((t) => t.id),
    ["a", "line"],
  );
  assert.deepEqual(wholeBox(scene), { west: 146, south: -21, east: 147, north: -20 });
  assert.deepEqual(wholeBox(sceneOf([thing("a", point(146, -20))])), { west: 146, south: -20, east: 146, north: -20 });
  assert.equal(wholeBox(sceneOf([])), null);
});

test("boxes of every geometry there is", () => {
  const square = [
    [1, 1],
    [3, 1],
    [3, 4],
    [1, 1],
  ];
  for (const [type, geometry] of Object.entries({
    MultiPoint: { type: "MultiPoint", coordinates: square },
    MultiLineString: { type: "MultiLineString", coordinates: [square.slice(0, 2), square.slice(1)] },
    Polygon: { type: "Polygon", coordinates: [square] },
    MultiPolygon: { type: "MultiPolygon", coordinates: [[square]] },
    GeometryCollection: {
      type: "GeometryCollection",
      geometries: [
        point(1, 1),
        {
          type: "LineString",
          coordinates: [
            [3, 1],
            [2, 4],
          ],
        },
      ],
    },
  })) {
    assert.deepEqual([...sceneOf([thing("a", geometry)]).boxes], [1, 1, 3, 4], type);
  }
});

test("a property on the antimeridian is in one piece", () => {
  const scene = sceneOf([thing("a", point(179.999, -16)), thing("b", point(-179.999, -16))]);
  const box = wholeBox(scene)!;
  assert.ok(Math.abs(box.east - box.west - 0.002) < 1e-9, `${box.west} to ${box.east}`);
});

test("only what is in sight", () => {
  const scene = sceneOf([
    thing("in", point(10, 10)),
    thing("out", point(20, 10)),
    thing("through", {
      type: "LineString",
      coordinates: [
        [5, 10],
        [25, 10],
      ],
    }),
  ]);
  const seen = inSight(scene, { west: 9, south: 9, east: 11, north: 11 }, 0.001);
  assert.deepEqual(
    seen.alone.map((t) => t.id),
    ["in", "through"],
  );
});

test("what touches the edge of what is in sight is drawn, and as many as may be stand alone", () => {
  const scene = sceneOf([thing("w", point(9, 10)), thing("e", point(11, 10)), thing("s", point(10, 9)), thing("n", point(10, 11))]);
  const box = { west: 9, south: 9, east: 11, north: 11 };
  assert.deepEqual(inSight(scene, box, 0.1, 4).groups, []);
  assert.equal(inSight(scene, box, 0.1, 4).alone.length, 4);
  assert.equal(inSight(scene, box, 0.1, 3).groups.length, 1);
});

test("names are made room for while so many are written", () => {
  const things = Array.from({ length: namesUpTo }, (_, i) => thing(String(i), point(146, -20)));
  assert.equal(nameReaches(sceneOf(things)).length, namesUpTo);
  assert.equal(nameReaches(sceneOf([...things, thing("one more", point(146, -20))])).length, 0);
});

test("too many are drawn in groups, and every one is in a group or alone", () => {
  let seed = 3;
  const rnd = () => (seed = (seed * 1103515245 + 12345) % 2147483648) / 2147483648;
  const many = Array.from({ length: 5000 }, (_, i) => thing(`${i}`, point(146 + rnd(), -20 + rnd())));
  const lone = thing("lone", point(140, -20));
  const scene = sceneOf([...many, lone]);
  const seen = inSight(scene, world, 0.002);
  assert.ok(seen.alone.length + seen.groups.length <= mostSymbols, `${seen.alone.length} and ${seen.groups.length} groups drawn`);
  assert.equal(seen.alone.length + seen.groups.reduce((n, g) => n + g.count, 0), 5001);
  assert.ok(
    seen.alone.some((t) => t.id === "lone"),
    "a thing far from all others is in a group",
  );
  const few = inSight(scene, { west: 139, south: -21, east: 141, north: -19 }, 0.002);
  assert.deepEqual([few.alone.map((t) => t.id), few.groups], [["lone"], []]);
});
