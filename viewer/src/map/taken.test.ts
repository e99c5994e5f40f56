import assert from "node:assert/strict";
import { test } from "node:test";
import type { Shift } from "./symbolplace.ts";
import type { Standing } from "./room.ts";
import { Taken } from "./taken.ts";

const work = (id: string, x: number, y: number): Standing => ({ id, x, y, stays: true, rank: 1 });
const takenBy = (standing: Standing[], shifts: { [id: string]: Shift | null } = {}, points: { x: number; y: number }[] = []) =>
  new Taken((id) => (id in shifts ? shifts[id]! : [0, 0]), standing, points, new Map(standing.map((s) => [s.id, 20])));

test("a name has room beside symbols and the names of works, up to their edges", () => {
  const taken = takenBy([work("dam", 0, 0)]);
  const cases: readonly [string, number, number, number, boolean][] = [
    ["on the symbol", 0, 0, 1, false],
    ["at the symbol's edge", 27.9, 0, 1, false],
    ["beside it", 28, 0, 1, true],
    ["on its name below", 0, -54.9, 1, false],
    ["below its name", 0, -55, 1, true],
    ["beside its name", 30, -35, 1, true],
    ["above it", 0, 28, 1, true],
    ["at twice the resolution the symbol is twice as large on the ground", 55.9, 0, 2, false],
    ["beside it there", 56, 0, 2, true],
  ];
  for (const [what, x, y, resolution, free] of cases) assert.equal(taken.isFree([x, y], 10, 10, resolution), free, what);
});

test("a symbol takes room where it is shifted to, less where it is small, and none where it is not drawn", () => {
  const standing = [work("aside", 0, 0), work("small", 200, 0), work("hidden", 400, 0)];
  const taken = takenBy(standing, { aside: [100, 50], small: [0, 0, "small"], hidden: null }, [{ x: 600, y: 0 }]);
  const free = (x: number, y = 0) => taken.isFree([x, y], 1, 1, 1);
  assert.deepEqual([free(0), free(100, 50), free(100, 15)], [true, false, false], "moved aside, with its name");
  assert.deepEqual([free(211), free(212), free(200, -35)], [false, true, true], "small, and without its name");
  assert.equal(free(400), true, "not drawn");
  assert.deepEqual([free(618), free(619)], [false, true], "a point of something else");
});

test("a name stands above its symbol where another lies below, and above nothing does", () => {
  const below = takenBy([work("dam", 0, 0), work("next", 0, -40)]);
  assert.deepEqual([below.isNameAbove("dam", 1), below.isNameAbove("next", 1)], [true, false]);
  const between = takenBy([work("over", 0, 40), work("dam", 0, 0), work("under", 0, -40)]);
  assert.equal(between.isNameAbove("dam", 1), false, "symbols on both sides");
  assert.equal(below.isNameAbove("dam", 0.1), false, "closer in there is room");
});
