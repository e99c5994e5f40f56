import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { reduce, undoesLastPoint, type Action, type Recording } from "./recording.ts";
import { pointNear, sideAfter, sideNear } from "./nearby.ts";
import { cannotSave, reshaped, shapeOf, type Shape } from "./reshape.ts";

const feature = (fields: Fields): Feature => ({
  id: "f",
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: "1",
  unsent: 0,
});
const edited = (fields: Fields, ...actions: Action[]): { shape: Shape; set: Fields } => {
  const shape = shapeOf(feature(fields))!;
  const after = { ...shape, recording: actions.reduce(reduce, shape.recording) };
  return { shape: after, set: reshaped(after, fields) };
};
const choose = (piece: number, spot: number): Action => ({ do: "choose", chosen: { piece, spot } });
const move = (piece: number, spot: number, lon: number, lat: number, accuracyM = 2, goesOn = false): Action => ({
  do: "move",
  at: { piece, spot },
  to: { lon, lat },
  accuracyM,
  goesOn,
});

const line: Fields = {
  kind: "rip-line",
  accuracyM: 4,
  positionBasis: "GPS",
  gpsHeightsM: [100, 101, null],
  geometry: {
    type: "LineString",
    coordinates: [
      [146, -20],
      [146.001, -20],
      [146.002, -20],
    ],
  },
  receiver: {
    from: "2026-11-25T00:00:00.000Z",
    secondsAfter: [0, 5, 9],
    accuraciesM: [3, 4, 5],
    how: ["walked", "walked", "stood"],
    heightDatum: "unknown",
  },
};

test("a point of a line is moved: that point is drawn, the others keep what was recorded", () => {
  const { set } = edited(line, move(0, 1, 146.0015, -20.0001));
  assert.deepEqual(set, {
    geometry: {
      type: "LineString",
      coordinates: [
        [146, -20],
        [146.0015, -20.0001],
        [146.002, -20],
      ],
    },
    positionBasis: "drawn on the map",
    accuracyM: 3.56,
    gpsHeightsM: [100, null, null],
    receiver: {
      from: "2026-11-25T00:00:00.000Z",
      secondsAfter: [0, null, 9],
      accuraciesM: [3, 2, 5],
      how: ["walked", "tapped", "stood"],
      heightDatum: "unknown",
    },
  });
});

test("a point is added and removed, and each is undone by itself", () => {
  const added: Action = { do: "insert", piece: 0, after: 0, spot: { lon: 146.0005, lat: -20.001, accuracyM: 2, atMS: 0, how: "tapped" } };
  assert.deepEqual(edited(line, added).set["geometry"], {
    type: "LineString",
    coordinates: [
      [146, -20],
      [146.0005, -20.001],
      [146.001, -20],
      [146.002, -20],
    ],
  });
  assert.deepEqual(edited(line, choose(0, 1), { do: "take-out" }).set["geometry"], {
    type: "LineString",
    coordinates: [
      [146, -20],
      [146.002, -20],
    ],
  });
  assert.deepEqual(
    edited(line, added, choose(0, 2), { do: "take-out" }, { do: "undo" }).set["geometry"],
    edited(line, added).set["geometry"],
  );
  const dragged = edited(line, move(0, 2, 147, -20), move(0, 2, 148, -20, 2, true), move(0, 2, 149, -20, 2, true), { do: "undo" });
  assert.deepEqual(dragged.set["geometry"], line["geometry"], "a drag is one edit");
});

test("a broken walk stays in its pieces, with its gaps", () => {
  const walk: Fields = {
    kind: "fence",
    geometry: {
      type: "MultiLineString",
      coordinates: [
        [
          [146, -20],
          [146.001, -20],
        ],
        [
          [146.003, -20],
          [146.004, -20],
        ],
      ],
    },
    receiver: { gaps: [{ why: "hidden", from: "2026-11-25T00:00:00.000Z", to: "2026-11-25T00:01:00.000Z" }], how: ["walked"] },
  };
  const { set, shape } = edited(walk, move(1, 0, 146.0035, -20));
  assert.deepEqual(set, {
    geometry: {
      type: "MultiLineString",
      coordinates: [
        [
          [146, -20],
          [146.001, -20],
        ],
        [
          [146.0035, -20],
          [146.004, -20],
        ],
      ],
    },
    positionBasis: "drawn on the map",
    receiver: { gaps: (walk["receiver"] as Fields)["gaps"] }, // the list of how was not of these points
  });
  assert.equal(shape.recording.gaps[0]!.why, "hidden");
  assert.match(cannotSave(edited(walk, choose(1, 0), { do: "take-out" }).shape), /two points/);
});

test("an area stays closed and keeps its holes", () => {
  const hole = [
    [1, 1],
    [2, 1],
    [2, 2],
    [1, 1],
  ];
  const area: Fields = {
    kind: "scald",
    geometry: {
      type: "Polygon",
      coordinates: [
        [
          [0, 0],
          [4, 0],
          [4, 4],
          [0, 4],
          [0, 0],
        ],
        hole,
      ],
    },
  };
  const { set, shape } = edited(area, move(0, 0, -1, -1));
  assert.deepEqual(set["geometry"], {
    type: "Polygon",
    coordinates: [
      [
        [-1, -1],
        [4, 0],
        [4, 4],
        [0, 4],
        [-1, -1],
      ],
      hole,
    ],
  });
  assert.equal(set["accuracyM"], undefined, "how good the other points are is not known");
  assert.equal(shape.recording.shape, "area");
  assert.equal(cannotSave(shape), "");
  assert.match(cannotSave(edited(area, choose(0, 0), { do: "take-out" }, choose(0, 0), { do: "take-out" }).shape), /three points/);
  const closing = sideAfter(shape.recording, { piece: 0, spot: 3 });
  assert.deepEqual([closing?.after, closing?.at], [3, { lon: -0.5, lat: 1.5 }]);
});

test("a point moved on the map leaves its fix behind", () => {
  const { set } = edited(
    { kind: "peg", accuracyM: 4, gpsHeightM: 212, geometry: { type: "Point", coordinates: [146, -20] }, receiver: { fixes: 9 } },
    move(0, 0, 146.1, -20.1, 3),
  );
  assert.deepEqual(set, {
    geometry: { type: "Point", coordinates: [146.1, -20.1] },
    positionBasis: "drawn on the map",
    accuracyM: 3,
    gpsHeightM: null,
    receiver: null,
  });
});

test("shapes that the phone cannot edit are left alone", () => {
  for (const geometry of [null, { type: "MultiPolygon", coordinates: [] }, { type: "GeometryCollection", geometries: [] }])
    assert.equal(shapeOf(feature({ geometry })), undefined);
});

test("a finger finds the nearest point, else the nearest side", () => {
  const { recording } = shapeOf(feature(line))!;
  assert.deepEqual(pointNear(recording, { lon: 146.00101, lat: -20 }, 5), { piece: 0, spot: 1 });
  assert.equal(pointNear(recording, { lon: 146.0005, lat: -20 }, 5), null);
  const side = sideNear(recording, { lon: 146.0015, lat: -20.00002 }, 5);
  assert.deepEqual([side?.piece, side?.after], [0, 1]);
  assert.ok(Math.abs(side!.at.lon - 146.0015) < 1e-9 && Math.abs(side!.at.lat + 20) < 1e-9, "the new point lies on the side");
  assert.equal(sideAfter(recording, { piece: 0, spot: 2 }), null);
});

test("the last point is removed by a button that says so, and other things by Undo", () => {
  const at = (lon: number): Action => ({ do: "add", spot: { lon, lat: -20, accuracyM: 3, atMS: 0, how: "tapped" } });
  const on = (...actions: Action[]): Recording => actions.reduce(reduce, shapeOf(feature(line))!.recording);
  assert.equal(undoesLastPoint(on(at(146.003))), true);
  assert.equal(undoesLastPoint(on(at(146.003), move(0, 1, 147, -20))), false);
  assert.equal(
    undoesLastPoint(
      on(at(146.003), { do: "insert", piece: 0, after: 0, spot: { lon: 146.0005, lat: -20, accuracyM: 3, atMS: 0, how: "tapped" } }),
    ),
    false,
  );
  assert.equal(undoesLastPoint(on()), false);
});
