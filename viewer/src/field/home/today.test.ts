import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../entry.ts";
import { drawing, pathOf } from "./drawing.ts";
import { stampedAt, today } from "./today.ts";

const stamp = (at: Date, count = 0) => at.getTime().toString(16).padStart(12, "0") + count.toString(16).padStart(4, "0");
const feature = (id: string, more: Partial<Feature> = {}, fields: Fields = {}): Feature => ({ id, property: "p", fields, struck: false, clashes: [], saw: { me: 1 }, stamp: "0", unsent: 0, ...more });
const now = new Date(2026, 10, 25, 14, 0);

test("today's things are this phone's own of today, the newest first", () => {
  const morning = new Date(2026, 10, 25, 7, 30);
  const all = [
    feature("early", { stamp: stamp(morning) }),
    feature("late", { stamp: stamp(now) }),
    feature("same-moment-later", { stamp: stamp(now, 1), struck: true }),
    feature("yesterday", { stamp: stamp(new Date(2026, 10, 24, 23, 59)) }),
    feature("of-another-phone", { stamp: stamp(now), saw: { other: 3 } }),
    feature("unsent", { stamp: stamp(morning, 5), saw: {}, unsent: 1 }),
  ];
  assert.deepEqual(today(all, "me", now).map((f) => f.id), ["same-moment-later", "late", "unsent", "early"]);
  assert.equal(stampedAt(all[1]!).getTime(), now.getTime());
});

test("a drawing keeps everything inside its sheet, with north up", () => {
  const at = (lon: number, lat: number) => ({ geometry: { type: "Point", coordinates: [lon, lat] } });
  const drawn = drawing([
    feature("south", {}, at(146.5, -20.26)), feature("north", {}, at(146.5, -20.25)),
    feature("line", {}, { geometry: { type: "LineString", coordinates: [[146.49, -20.25], [146.52, -20.26]] } }),
    feature("struck", { struck: true }, at(0, 0)), feature("placeless"),
  ], [146.505, -20.255], 360, 150);
  const points = Object.fromEntries(drawn.shapes.map((s) => [s.id, s.points]));
  assert.equal(drawn.total, 3);
  assert.ok(points["north"]![0]![1] < points["south"]![0]![1], "north is not above south");
  for (const [x, y] of [...drawn.shapes.flatMap((s) => s.points), drawn.here!]) assert.ok(x >= 0 && x <= 360 && y >= 0 && y <= 150, `${x} ${y} is off the sheet`);
  assert.match(pathOf(drawn.shapes[2]!), /^M[\d.]+ [\d.]+L/);
});

test("one thing alone is drawn in the middle", () => {
  const drawn = drawing([feature("one", {}, { geometry: { type: "Point", coordinates: [146.5, -20.25] } })], undefined, 360, 150);
  assert.deepEqual(drawn.shapes[0]!.points, [[180, 75]]);
  assert.deepEqual(drawing([], undefined, 360, 150).shapes, []);
});
