import assert from "node:assert/strict";
import test from "node:test";
import { placed, withRoom, type Standing } from "./room.ts";

const at = (id: string, x: number, y: number, stays = false): Standing => ({ id, x, y, stays });

test("of symbols that overlap, those that must stay do, and one of the others", () => {
  const standing = [at("a", 0, 0), at("b", 5, 0), at("c", 100, 0), at("failed", 101, 3, true), at("proposed", 102, 3, true)];
  assert.deepEqual([...placed(standing, 34).keys()].sort(), ["a", "failed", "proposed"]);
});

test("symbols that must stay never cover each other, and those with room stand at their place", () => {
  const standing = [at("dam", 0, 0, true), at("head", 3, 2, true), at("hazard", 5, 0, true), at("plain", 6, 6), at("far", 300, 0, true)];
  const drawn = placed(standing, 34);
  assert.deepEqual([drawn.get("dam"), drawn.get("far"), drawn.has("plain")], [[0, 0], [0, 0], false]);
  const stand = ["dam", "head", "hazard", "far"].map((id) => {
    const [s, shift = [0, 0]] = [standing.find((one) => one.id === id)!, drawn.get(id)];
    return [s.x + shift[0], s.y + shift[1]];
  });
  for (const [i, a] of stand.entries()) {
    for (const b of stand.slice(i + 1)) assert.ok(Math.max(Math.abs(a[0]! - b[0]!), Math.abs(a[1]! - b[1]!)) >= 34, `${a} and ${b}`);
  }
});

test("symbols that are apart all have room, also across the edges of cells", () => {
  const standing = Array.from({ length: 40 }, (_, i) => at(String(i), i * 35 - 700, -i * 35));
  assert.equal(placed(standing, 34).size, 40);
  assert.equal(placed([at("a", -1, 0), at("b", 1, 0)], 34).size, 1);
});

test("closer in there is room for more", () => {
  const room = withRoom([at("a", 0, 0), at("b", 10, 0)]);
  assert.deepEqual([room("b", 1), room("b", 0.1)], [null, [0, 0]]);
});
