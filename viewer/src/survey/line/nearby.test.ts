// What of a recorded line lies within reach: of a finger, of a gully, or of the line itself.

import assert from "node:assert/strict";
import test from "node:test";
import { metresBetween, type Place } from "../../base/plane.ts";
import { crossing } from "./crossing.ts";
import { dragOf, fingerPx } from "./drag.ts";
import { pointNear, sideAfter, sideNear } from "./nearby.ts";
import type { Action } from "./recording.ts";
import { snap, thalwegs } from "./snap.ts";
import { drawnPlusMinusM } from "./tapped.ts";
import { start, at, spot, of, feature, positions } from "./spots.test.ts";

test("a boundary that touches itself does not cross itself", () => {
  const { lon, lat } = start;
  const to = (east: number, north: number): Place => ({ lon: lon + east / 1024, lat: lat + north / 1024 }); // exact in binary
  for (const [name, boundary, crosses] of [
    ["its first corner lies on a side", [to(0, 0), to(8, 16), to(-8, 0), to(8, 0)], false],
    ["a corner lies on its first side", [to(0, 0), to(10, 0), to(8, 5), to(5, 0), to(2, 5)], false],
    ["its second corner lies on a later side", [to(0, 0), to(5, 8), to(9, 4), to(9, 8), to(2, 8)], false],
    ["a side goes through another", [to(0, 0), to(5, 8), to(9, 4), to(9, 7), to(2, 7)], true],
    ["a square", [to(0, 0), to(8, 0), to(8, 8), to(0, 8)], false],
    ["a bow tie", [to(0, 0), to(8, 8), to(8, 0), to(0, 8)], true],
    ["a bow tie over its closing side", [to(0, 0), to(8, 0), to(0, 8), to(8, 8)], true],
    ["three corners", [to(0, 0), to(8, 8), to(8, 0)], false],
    ["none", [], false],
  ] as const)
    assert.equal(crossing(boundary) !== null, crosses, name);
  const middle = crossing([at(0, 0), at(10, 10), at(10, 0), at(0, 10)])!;
  assert.ok(metresBetween(middle, at(5, 5)) < 0.01, "where its sides meet");
});

test("what is within a finger's reach, and what just is not", () => {
  const line = of("line", [
    [spot(0, 0), spot(0, 100)],
    [spot(50, 0), spot(50, 100)],
  ]);
  const reachM = metresBetween(at(0, 0), at(0, -5));
  assert.deepEqual(pointNear(line, at(0, -5), reachM), { piece: 0, spot: 0 });
  assert.equal(pointNear(line, at(0, -5), reachM - 0.001), null);
  assert.deepEqual(pointNear(line, at(49, 99), 80), { piece: 1, spot: 1 }, "the nearest of several");
  assert.deepEqual(pointNear(of("line", [[spot(0, 0), spot(0, 0)]]), at(0, 0), 1), { piece: 0, spot: 1 }, "the later of two in one place");
  assert.equal(sideNear(line, at(4.9, 50), 5)!.piece, 0);
  assert.equal(sideNear(line, at(5.1, 50), 5), null);
  assert.deepEqual([sideNear(line, at(46, 50), 50)!.piece, sideNear(line, at(46, 50), 50)!.after], [1, 0]);
  for (let m = 0; m < 5; m += 0.1) assert.equal(sideNear(line, at(-m, 100 + m), 8)!.after, 0, "beyond its end still the last side");
  const twice = [spot(0, 0), spot(0, 9)];
  assert.equal(sideNear(of("line", [twice, twice]), at(1, 5), 5)!.piece, 1, "the later of two in one place");
  assert.equal(sideNear(of("line", [[spot(0, 0)]]), at(0, 0), 5), null, "one point has no side");
  const ring = of("area", [[spot(0, 0), spot(0, 100), spot(100, 100)]], { closed: true });
  assert.equal(sideNear(ring, at(50, 50), 5)!.after, 2, "the side that closes it");
  assert.equal(sideNear({ ...ring, closed: false }, at(50, 50), 5), null);
  assert.equal(sideNear(of("area", [[spot(0, 0), spot(0, 100)]], { closed: true }), at(0, 50), 5)!.after, 0);
  const round = sideAfter(ring, { piece: 0, spot: 2 })!;
  assert.ok(round.after === 2 && metresBetween(round.at, at(50, 50)) < 0.01);
  assert.ok(metresBetween(sideAfter(line, { piece: 1, spot: 0 })!.at, at(50, 50)) < 0.01);
  for (const none of [
    { piece: 0, spot: 1 },
    { piece: 7, spot: 0 },
    { piece: 0, spot: 7 },
  ])
    assert.equal(sideAfter(line, none), null);
  assert.equal(sideAfter(of("area", [[spot(0, 0)]], { closed: true }), { piece: 0, spot: 0 }), null);
});

test("a finger takes up nothing during a walk, and a drag that goes nowhere chooses nothing", () => {
  const acts: Action[] = [];
  let recording = of("line", [[spot(0, 0), spot(0, 100)]], { walk: "on" });
  const drag = dragOf(() => ({ recording, act: (a) => void acts.push(a), accuracyM: (_, perPx) => perPx }));
  assert.equal(drag.grab(at(0, 0), 1), false);
  recording = { ...recording, walk: "paused" };
  assert.equal(drag.grab(at(0, fingerPx - 0.1), 1), true);
  drag.drop();
  assert.equal(drag.grab(at(0, -fingerPx - 0.1), 1), false);
  drag.drag(at(9, 9), 1);
  assert.equal(acts.length, 0, "nothing is held");
  assert.equal(drag.grab(at(0, 1), 1), true);
  drag.drag(at(3, 3), 2);
  drag.drop();
  drag.drop();
  assert.deepEqual(
    acts.map((a) => [a.do, a.do === "move" && a.goesOn, a.do === "move" && a.accuracyM]),
    [
      ["move", false, 4],
      ["move", true, 2],
      ["choose", false, false],
    ],
  );
});

test("a place is put on the nearest thalweg within reach, on one of its own positions before a place between", () => {
  const line = (id: string, ...places: readonly Place[]) =>
    feature(id, { kind: "thalweg", geometry: { type: "LineString", coordinates: positions(...places) } });
  const g = line("g", at(0, 0), at(0, 100)),
    h = line("h", at(12, 0), at(12, 100));
  assert.deepEqual(
    thalwegs([
      g,
      feature("s", g.fields, { struck: true }),
      feature("f", { ...g.fields, kind: "fence" }),
      feature("n", { kind: "thalweg" }),
    ]).map((t) => t.id),
    ["g"],
  );
  const all = thalwegs([g, h]);
  const on = (eastM: number, northM: number, reachM: number) => {
    const found = snap(all, at(eastM, northM), reachM);
    return found && [found.thalweg, Math.round(metresBetween(found.at, at(0, 0)) * 10) / 10, Math.round(found.offM * 10) / 10];
  };
  assert.deepEqual(on(3, 50, 3.01), ["g", 50, 3]);
  assert.equal(on(3, 50, 2.99), null);
  assert.deepEqual(on(7, 50, 20)?.[0], "h");
  assert.deepEqual(on(5, 50, 20)?.[0], "g");
  assert.deepEqual(on(0, 4, 8.1), ["g", 0, 4], "its end, within half the reach");
  assert.deepEqual(on(0, 4, 7.9), ["g", 4, 0]);
  assert.deepEqual(on(0, 97, 10), ["g", 100, 3]);
  const short = thalwegs([line("k", at(0, 0), at(0, 6))]);
  assert.ok(metresBetween(snap(short, at(0, 4), 20)!.at, at(0, 6)) < 0.01, "the nearer of two");
});

test("how good a tapped place is: the aim, and what there was to aim by", () => {
  const peg = (m: number, accuracyM?: number) =>
    feature("p", {
      kind: "peg",
      geometry: { type: "Point", coordinates: positions(at(0, m))[0]! },
      ...(accuracyM !== undefined && { accuracyM }),
    });
  const fix = { accuracyM: 12 } as Parameters<typeof drawnPlusMinusM>[3];
  const at0 = at(0, 0);
  for (const [name, perPx, features, by, want] of [
    ["nothing", 1, [], null, 8],
    ["a close map", 0.01, [], null, 0.5],
    ["the phone", 1, [], fix, Math.hypot(8, 12)],
    ["an item beside", 1, [peg(199, 3)], fix, Math.hypot(8, 3)],
    ["an item that is too far", 1, [peg(201, 3)], fix, Math.hypot(8, 12)],
    ["an item that does not say", 1, [peg(5)], fix, Math.hypot(8, 12)],
  ] as const)
    assert.ok(Math.abs(drawnPlusMinusM(at0, perPx, features, by) - want) < 1e-9, name);
});
