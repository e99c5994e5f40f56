// How what is not a work is drawn: its lines, its mark, and where its name stands.

import assert from "node:assert/strict";
import test from "node:test";
import OLFeature from "ol/Feature.js";
import type { Extent } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import Circle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import type Style from "ol/style/Style.js";
import type { Painter } from "./painter.ts";
import { type Surroundings, surroundingStyle } from "./surroundings.ts";

const icons: string[] = [];
const painter = {
  icon: (key: string, strokes: () => unknown[], sizePx: number, mode: string) => {
    icons.push(`${key} ${strokes().length} strokes of ${sizePx} px ${mode}`);
    return new Circle({ radius: sizePx });
  },
  pattern: () => new Fill({ color: "#eeeeee" }),
} as unknown as Painter;

const styled = (kind: string, geometry: Geometry, name: string, how?: Surroundings, resolution = 1): Style[] => {
  icons.length = 0;
  const style = surroundingStyle(painter, { name: kind, mark: "M0 0", colour: "#334455" }, name, how);
  return style(new OLFeature(geometry), resolution);
};
const line = (...xs: readonly number[]) => new LineString(xs.map((x) => [x, 0]));
/** What is written, where, how it is set against that place, and how far above it lies. */
const named = (styles: readonly Style[]) =>
  styles.flatMap((s) => {
    const text = s.getText();
    if (!text) return [];
    const at = s.getGeometry() as Point | LineString | null;
    return [
      `${text.getText() as string} ${text.getPlacement() ?? ""} ${text.getTextAlign() ?? "middle"} ${text.getOffsetX()} at ${at?.getFirstCoordinate()?.join(" ") ?? "its place"}`,
    ];
  });

test("the name of a gully lies along it, else beyond its end, else beside it; of no other line beyond an end", () => {
  const sight: Extent = [-500, -500, 500, 500];
  const short = line(0, 40);
  for (const [name, kind, geometry, how, want] of [
    ["along", "thalweg", line(0, 200), {}, "Gully line middle 0 at 75 0"],
    ["beyond its end", "thalweg", short, {}, "Gully point left 26 at 40 0"],
    ["beyond its end, drawn from there", "thalweg", line(40, 0), {}, "Gully point right -26 at 0 0"],
    ["beside it", "thalweg", short, { sight: () => sight, isFree: ([, y]: readonly number[]) => y !== 0 }, "Gully point middle 0 at 0 20"],
    ["no room", "thalweg", short, { sight: () => sight, isFree: () => false }, undefined],
    ["nor beside it where nothing tells what is in sight", "thalweg", short, { isFree: ([, y]: readonly number[]) => y !== 0 }, undefined],
    ["along a track", "track", line(0, 200), {}, "Gully line middle 0 at 75 0"],
    ["not beyond a track", "track", short, {}, undefined],
    ["beside a track", "track", short, { sight: () => sight }, "Gully point middle 0 at 0 20"],
  ] as readonly [string, string, LineString, Surroundings, string | undefined][]) {
    const styles = styled(kind, geometry, "Gully", how);
    assert.deepEqual(named(styles), want ? [want] : [], name);
    assert.ok(styles[0]!.getStroke(), `${name}: its line is drawn`);
    assert.ok(!want || styles[styles.length - 1]!.getZIndex()! > 19, `${name}: above the names of works`);
  }
  assert.deepEqual(named(styled("thalweg", line(0, 200), "")), [], "it has none");
});

test("what can hurt lies above everything, what needs attention above the rest, and what is named there gives way to nothing", () => {
  for (const [kind, attention, icon, above] of [
    ["hazard", false, "other|hazard|false 2 strokes of 36 px obstacle", 40],
    ["hazard", true, "other|hazard|true 5 strokes of 36 px obstacle", 40],
    ["peg", true, "other|peg|true 5 strokes of 36 px obstacle", 33],
    ["peg", false, "other|peg|false 2 strokes of 36 px declutter", 5],
    ["homestead", false, "other|homestead|false 2 strokes of 36 px obstacle", 5],
  ] as const) {
    const styles = styled(kind, new Point([0, 0]), "", { attention });
    assert.deepEqual([icons, Math.max(...styles.map((s) => s.getZIndex()!))], [[icon], above], `${kind} ${attention}`);
    assert.deepEqual(named(styles), [], "it has no name");
  }
});

test("the name of a gate is read whole at the edge of what is in sight", () => {
  const offset = (x: number, sight?: Extent, resolution = 1) => {
    const styles = styled("gate", new Point([x, 0]), "Gate", sight ? { sight: () => sight } : {}, resolution);
    return styles.flatMap((s) => s.getText()?.getOffsetX() ?? []);
  };
  const sight: Extent = [1000, 0, 1400, 100];
  const half = (4 * 8) / 2 + 12; // of four letters, and as far from the edge as a name keeps
  for (const [x, want] of [
    [1200, 0],
    [1010, half - 10],
    [1395, 5 - half],
    [900, 0],
  ] as const)
    assert.deepEqual(offset(x, sight), [want], `at ${x}`);
  assert.deepEqual(offset(1010, sight, 2), [half - 5], "farther out");
  assert.deepEqual(offset(1010), [0], "nothing tells what is in sight");
});

test("what lies at a point is named where it is asked for, beside its place where its symbol stands there", () => {
  const of = (how: Surroundings, name = "Peg 1") => named(styled("peg", new Point([5, 6]), name, how));
  assert.deepEqual(of({}), []);
  assert.deepEqual(of({ named: true }, ""), []);
  assert.deepEqual(of({ named: true }), ["Peg 1 point middle 0 at 5 6"]);
  assert.deepEqual(of({ named: true, room: () => [30, 40] }), ["Peg 1 point middle 0 at 35 46"]);
  assert.equal(styled("peg", new Point([5, 6]), "", { room: () => [30, 40] }).length, 5, "with a line to it");
});
