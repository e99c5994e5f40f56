import assert from "node:assert/strict";
import test from "node:test";
import { placed, withRoom, type Standing } from "./room.ts";

const at = (id: string, x: number, y: number, stays = false): Standing => ({ id, x, y, stays });

test("of symbols that overlap, those that must stay do, and one of the others", () => {
  const standing = [at("a", 0, 0), at("b", 5, 0), at("c", 100, 0), at("failed", 101, 3, true), at("proposed", 102, 3, true)];
  assert.deepEqual([...placed(standing, 34)].sort(), ["a", "failed", "proposed"]);
});

test("symbols that are apart all have room, also across the edges of cells", () => {
  const standing = Array.from({ length: 40 }, (_, i) => at(String(i), i * 35 - 700, -i * 35));
  assert.equal(placed(standing, 34).size, 40);
  assert.equal(placed([at("a", -1, 0), at("b", 1, 0)], 34).size, 1);
});

test("closer in there is room for more", () => {
  const room = withRoom([at("a", 0, 0), at("b", 10, 0)]);
  assert.deepEqual([room("b", 1), room("b", 0.1)], [false, true]);
});
