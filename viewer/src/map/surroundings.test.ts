// How what is not a work is drawn: its lines, its mark, and where its name stands.

import assert from "node:assert/strict";
import test from "node:test";
import OLFeature from "ol/Feature.js";
import type { Extent } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import type Point from "ol/geom/Point.js";
import Circle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import type Style from "ol/style/Style.js";
import type { Painter } from "./painter.ts";
import { type Surroundings, surroundingStyle } from "./surroundings.ts";

const icons: string[] = [];
const painter = {
  icon: (key: string, strokes: () => unknown[], sizePx: number, mode: string) => {
    icons.push(`${key} ${strokes().length} strokes ${mode}`);
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
