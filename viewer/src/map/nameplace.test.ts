// Where the name of a line is written: along a straight part, beyond an end, or beside it.

import assert from "node:assert/strict";
import test from "node:test";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import { beside, beyondAnEnd, beyondPx, edgePx, type IsFree, straightStretch } from "./nameplace.ts";

const free: IsFree = () => true;
const never: IsFree = () => false;
const ends = (line: LineString | null) => line?.getCoordinates().map((c) => c.map((v) => Math.round(v * 10) / 10));

test("a name lies in the middle of the longest straight part that holds it", () => {
  const bent = new LineString([
    [0, 0],
    [100, 0],
    [100, 300],
  ]);
  assert.deepEqual(ends(straightStretch(bent, 1, 90, free)), [
    [100, 100],
    [100, 200],
  ]);
  assert.deepEqual(
    ends(straightStretch(bent, 2, 40, free)),
    [
      [100, 100],
      [100, 200],
    ],
    "at another scale",
  );
  assert.equal(straightStretch(bent, 1, 300, free), null, "it is longer than every part");
  assert.deepEqual(
    ends(
      straightStretch(
        new LineString([
          [0, 0],
          [100, 0],
        ]),
        1,
        90,
        free,
      ),
    ),
    [
      [0, 0],
      [100, 0],
    ],
    "it fits just",
  );
  assert.equal(
    straightStretch(
      new LineString([
        [0, 0],
        [99.9, 0],
      ]),
      1,
      90,
      free,
    ),
    null,
  );
  assert.equal(straightStretch(new Point([0, 0]), 1, 10, free), null);
  const ring = new Polygon([
    [
      [0, 0],
      [200, 0],
      [200, 80],
      [0, 80],
      [0, 0],
    ],
  ]);
  assert.equal(ends(straightStretch(ring, 1, 50, free))?.length, 2, "an area by its boundary");
});

test("a name goes past symbols, to another place of the part or to another part", () => {
  const line = new LineString([
    [0, 0],
    [400, 0],
  ]);
  const clearOf =
    (x: number, halfPx: number): IsFree =>
    (at, half) =>
      Math.abs(at[0]! - x) >= halfPx + half;
  assert.deepEqual(ends(straightStretch(line, 1, 90, free)), [
    [150, 0],
    [250, 0],
  ]);
  assert.deepEqual(ends(straightStretch(line, 1, 90, clearOf(200, 10))), [
    [250, 0],
    [350, 0],
  ]);
  const both: IsFree = (at, half, high, resolution) =>
    clearOf(200, 10)(at, half, high, resolution) && clearOf(300, 10)(at, half, high, resolution);
  assert.deepEqual(ends(straightStretch(line, 1, 90, both)), [
    [50, 0],
    [150, 0],
  ]);
  assert.deepEqual(
    ends(straightStretch(line, 1, 90, ([x]) => x! >= 300)),
    [
      [300, 0],
      [400, 0],
    ],
    "up to its end",
  );
  assert.equal(straightStretch(line, 1, 90, never), null);
  let asked = 0;
  straightStretch(line, 1, 90, (_, wide, high, resolution) => {
    asked++;
    assert.deepEqual([wide, high, resolution], [8, 8, 1]);
    return true;
  });
  assert.equal(asked, 7, "at each end and every two letters");
});

test("only what is in sight of a line is written along", () => {
  const line = new LineString([
    [0, 50],
    [1000, 50],
  ]);
  const sight = [100, 0, 400, 100];
  assert.deepEqual(ends(straightStretch(line, 1, 90, free, sight)), [
    [200, 50],
    [300, 50],
  ]);
  assert.equal(straightStretch(line, 1, 270, free, sight), null, "but for its edges it is too short");
  assert.deepEqual(ends(straightStretch(line, 1, 266, free, sight)), [
    [100 + edgePx, 50],
    [400 - edgePx, 50],
  ]);
  assert.equal(
    straightStretch(
      new LineString([
        [0, 95],
        [1000, 95],
      ]),
      1,
      20,
      free,
      sight,
    ),
    null,
    "too near the edge",
  );
  assert.equal(
    ends(
      straightStretch(
        new LineString([
          [0, 88],
          [1000, 88],
        ]),
        1,
        20,
        free,
        sight,
      ),
    )?.length,
    2,
    "just inside",
  );
  assert.equal(
    ends(
      straightStretch(
        new LineString([
          [0, 12],
          [1000, 12],
        ]),
        1,
        20,
        free,
        sight,
      ),
    )?.length,
    2,
    "just inside at its foot",
  );
  assert.equal(
    straightStretch(
      new LineString([
        [500, 50],
        [1000, 50],
      ]),
      1,
      20,
      free,
      sight,
    ),
    null,
    "beside it",
  );
  assert.deepEqual(
    ends(
      straightStretch(
        new LineString([
          [250, -500],
          [250, 500],
        ]),
        1,
        30,
        free,
        [0, 0, 500, 200],
      ),
    ),
    [
      [250, 80],
      [250, 120],
    ],
  );
});

test("beyond an end a name stands on the far side, else on the near one, else at the other end", () => {
  const line = new LineString([
    [0, 0],
    [100, 0],
  ]);
  const at = (found: ReturnType<typeof beyondAnEnd>) => found && [found.at.getCoordinates(), found.way];
  assert.deepEqual(at(beyondAnEnd(line, 1, 40, free)), [[100, 0], 1]);
  assert.deepEqual(
    at(
      beyondAnEnd(
        new LineString([
          [100, 0],
          [0, 0],
        ]),
        1,
        40,
        free,
      ),
    ),
    [[0, 0], -1],
  );
  assert.deepEqual(
    at(
      beyondAnEnd(
        new LineString([
          [0, 0],
          [0, 9],
        ]),
        1,
        40,
        free,
      ),
    ),
    [[0, 9], 1],
  );
  assert.deepEqual(at(beyondAnEnd(line, 1, 40, ([x]) => x! < 100)), [[100, 0], -1]);
  assert.deepEqual(at(beyondAnEnd(line, 1, 40, ([x]) => x! < 0)), [[0, 0], -1]);
  assert.equal(beyondAnEnd(line, 1, 40, never), null);
  assert.equal(beyondAnEnd(new Point([0, 0]), 1, 40, free), null);
  const asked: unknown[] = [];
  beyondAnEnd(line, 2, 40, (middle, ...box) => asked.push([middle, ...box]) > 0);
  assert.deepEqual(asked, [[[100 + (beyondPx + 20) * 2, 0], 20, 12, 2]]);
  assert.deepEqual(at(beyondAnEnd(line, 1, 40, free, [-50, -10, 166, 10])), [[100, 0], 1], "it is seen to its end");
  assert.deepEqual(at(beyondAnEnd(line, 1, 40, free, [-50, -10, 165, 10])), [[100, 0], -1]);
  assert.deepEqual(at(beyondAnEnd(line, 1, 40, free, [-100, -10, 50, 10])), [[0, 0], -1], "the end that is in sight");
  assert.equal(beyondAnEnd(line, 1, 40, free, [200, -10, 400, 10]), null);
});

test("beside a line a name stands clear of it, nearest the middle of what is in sight", () => {
  const sight = [0, 0, 400, 200];
  const line = new LineString([
    [0, 100],
    [400, 100],
  ]);
  assert.deepEqual(beside(line, 1, 60, free, sight)?.getCoordinates(), [200, 120]);
  assert.deepEqual(beside(line, 1, 60, ([, y]) => y! < 100, sight)?.getCoordinates(), [200, 80]);
  const upright = new LineString([
    [200, 0],
    [200, 200],
  ]);
  assert.deepEqual(beside(upright, 1, 60, free, sight)?.getCoordinates(), [246, 100]);
  assert.deepEqual(beside(upright, 1, 60, ([x]) => x! < 200, sight)?.getCoordinates(), [154, 100], "at its left");
  assert.equal(beside(line, 1, 60, never, sight), null);
  assert.equal(beside(line, 1, 400, free, sight), null, "it is wider than what is in sight");
  assert.equal(
    beside(
      new LineString([
        [0, 500],
        [400, 500],
      ]),
      1,
      60,
      free,
      sight,
    ),
    null,
  );
  assert.equal(beside(new Point([200, 100]), 1, 60, free, sight), null);
});
