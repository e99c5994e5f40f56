import assert from "node:assert/strict";
import test from "node:test";
import { Boxes, placed, thinned, withRoom, type Standing } from "./room.ts";

const at = (id: string, x: number, y: number, stays = false): Standing => ({ id, x, y, stays, rank: stays ? 2 : 1 });

test("of two works that lie on each other both are drawn whole, the built one at its place", () => {
  for (const [id, stays, rank] of [
    ["pegged", true, 2],
    ["hazard", true, 5],
    ["other", false, 1],
  ] as const) {
    const drawn = placed(
      rank === 1 ? [at("built", 0, 0), { id, x: 1, y: 0, stays, rank }] : [{ id, x: 1, y: 0, stays, rank }, at("built", 0, 0)],
      34,
    );
    assert.deepEqual(drawn.get("built"), [0, 0], id);
    const [east, north, size] = drawn.get(id)!;
    assert.ok(size === undefined && Math.max(Math.abs(1 + east), Math.abs(north)) >= 34, `${id} is drawn at ${east} ${north} ${size}`);
  }
});

test("what is wrong has its place before what is built", () => {
  assert.deepEqual(placed([at("built", 0, 0), { ...at("failed", 3, 0, true), rank: 0, wrong: true }], 34).get("failed"), [0, 0]);
});

test("of many built works on each other none is hidden: those without room are drawn small", () => {
  const standing = Array.from({ length: 12 }, (_, i) => at(String(i), i * 6, 0));
  const drawn = placed(standing, 34);
  assert.equal(drawn.size, 12);
  const boxes = standing.map((s) => {
    const [east, north, size] = drawn.get(s.id)!;
    return [s.x + east, north, size ? 10.2 : 17] as const;
  });
  assert.ok(boxes.some((b) => b[2] < 17) && boxes.some((b) => b[2] === 17));
  for (const [i, a] of boxes.entries()) {
    for (const b of boxes.slice(i + 1))
      assert.ok(Math.max(Math.abs(a[0] - b[0]), Math.abs(a[1] - b[1])) >= a[2] + b[2] - 1e-9, `${a} and ${b}`);
  }
});

test("symbols that must stay never cover each other, and each stands at its place where there is room", () => {
  const standing = [at("dam", 0, 0, true), at("head", 3, 2, true), at("hazard", 5, 0, true), at("plain", 6, 6), at("far", 300, 0, true)];
  const drawn = placed(standing, 34);
  assert.deepEqual(
    [drawn.get("plain"), drawn.get("far")],
    [
      [0, 0],
      [0, 0],
    ],
  );
  const stand = ["plain", "dam", "head", "hazard", "far"].map((id) => {
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
  assert.deepEqual(
    [...placed(standing, 34).values()].filter(([x, y]) => x !== 0 || y !== 0),
    [],
  );
  assert.ok(
    placed([at("a", -1, 0), at("b", 1, 0)], 34)
      .get("b")!
      .some((part) => part !== 0),
  );
});

test("up to four on one place are drawn whole, and more are small", () => {
  const whole = (n: number) =>
    [
      ...placed(
        Array.from({ length: n }, (_, i) => at(String(i), 0, 0)),
        34,
      ).values(),
    ].filter((s) => !s[2]).length;
  assert.deepEqual([4, 5].map(whole), [4, 1]);
});

test("of three thousand one steps aside, and of more none", () => {
  const standing = Array.from({ length: 2999 }, (_, i) => at(String(i), i * 40, 0));
  assert.equal(placed([...standing, at("other", 0, 0)], 34).size, 3000);
  assert.equal(placed([...standing, at("other", 0, 0), at("more", -80, 0)], 34).size, 3000);
});

test("what is added later finds its room", () => {
  const standing = [at("a", 0, 0)];
  const room = withRoom(standing);
  assert.equal(room("b", 1), null);
  standing.push(at("b", 100, 0));
  assert.deepEqual(room("b", 1), [0, 0]);
});

test("closer in there is room for more", () => {
  const room = withRoom([at("a", 0, 0), at("b", 10, 0)]);
  assert.ok(room("b", 1)!.some((part) => part !== 0));
  assert.deepEqual(room("b", 0.1), [0, 0]);
});

test("boxes that lie apart are told from those that meet, wherever the squares end", () => {
  const boxes = new Boxes(10);
  for (const x of [-25, 0, 9.5, 400]) boxes.add({ x, y: -3, halfWidth: 2, halfHeight: 3 });
  for (const [x, y, meets] of [
    [0, 0, true],
    [-25, -8.9, true],
    [-25, -9.1, false],
    [13.4, -3, true],
    [13.6, -3, false],
    [404, 2, false],
    [4.7, -3, false],
  ] as const) {
    assert.equal(boxes.meets({ x, y, halfWidth: 2, halfHeight: 3 }), meets, `${x} ${y}`);
  }
});

test("of places that nobody can tell apart one is drawn, and all close in", () => {
  const places = Array.from({ length: 400 }, (_, i) => ({ id: String(i), x: (i % 20) * 2, y: Math.floor(i / 20) * 2 }));
  const drawn = thinned(places, 5);
  const count = (resolution: number) => places.filter((p) => drawn(p.id, resolution)).length;
  assert.equal(count(0.1), 400);
  assert.equal(count(4), 4);
  assert.equal(drawn("0", 100), true);
});

test("in a crowd nothing covers another but what can hurt, and what is wrong comes first", () => {
  const crowd = Array.from({ length: 4000 }, (_, i) => ({
    id: String(i),
    x: (i % 80) * 5,
    y: Math.floor(i / 80) * 5,
    stays: true,
    rank: 2,
    wrong: i === 41,
  }));
  const drawn = placed([...crowd, { id: "shaft", x: 205, y: 0, stays: true, rank: 5, wrong: true, always: true }], 34);
  assert.deepEqual([drawn.has("41"), drawn.has("shaft"), drawn.has("40")], [true, true, false]);
  const stand = crowd.filter((s) => drawn.has(s.id));
  for (const a of stand) assert.equal(stand.filter((b) => Math.abs(a.x - b.x) < 34 && Math.abs(a.y - b.y) < 34).length, 1);
  assert.deepEqual(
    [...drawn.values()].filter(([x, y]) => x !== 0 || y !== 0),
    [],
  );
});
