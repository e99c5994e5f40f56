// How works are drawn, told by what lies above what, and by lines and symbols of each status.

import assert from "node:assert/strict";
import test from "node:test";
import OLFeature from "ol/Feature.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import Circle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import type Style from "ol/style/Style.js";
import type { Painter } from "./painter.ts";
import { type Crowding, workStyle } from "./workstyle.ts";

const icons: string[] = [];
const painter = {
  icon: (key: string, _: unknown, sizePx: number, mode: string) => {
    icons.push(`${key} ${sizePx > 30 ? "whole" : "small"} ${mode}`);
    return new Circle({ radius: sizePx });
  },
  pattern: () => new Fill({ color: "#eeeeee" }),
} as unknown as Painter;
const kind = { name: "rip-line", label: "Rip line", mark: "M0 0", colour: "#334455" } as never;
const stylesOf = (geometry: Geometry, status: string, resolution = 0.5, crowding?: Crowding, name = "R1") => {
  icons.length = 0;
  const styles = workStyle(painter, kind, status as never, name, crowding)(new OLFeature(geometry) as never, resolution);
  return (Array.isArray(styles) ? styles : [styles]) as Style[];
};
const line = new LineString([
  [0, 0],
  [100, 0],
]);
const area = new Polygon([
  [
    [0, 0],
    [100, 0],
    [100, 100],
    [0, 100],
    [0, 0],
  ],
]);
const widths = (styles: Style[]) => styles.map((s) => s.getStroke()?.getWidth()).filter((w) => w !== undefined);

test("a point has a dot, its symbol above it, and its name", () => {
  const styles = stylesOf(new Point([0, 0]), "built");
  assert.deepEqual(
    styles.map((s) => s.getZIndex()),
    [20, 30, 19],
  );
  assert.equal(styles[2]!.getText()!.getText(), "R1");
  assert.deepEqual(
    stylesOf(new Point([0, 0]), "failed").map((s) => s.getZIndex()),
    [20, 34, 19],
    "what failed lies above",
  );
  assert.equal(stylesOf(new Point([0, 0]), "built", 0.5, undefined, "").length, 2, "without a name");
});

test("symbols of what failed or is proposed give way to none, nor do those that a page has placed", () => {
  const mode = (status: string, crowding?: Crowding) => {
    stylesOf(new Point([0, 0]), status, 0.5, crowding);
    return icons[0]!.split(" ").pop();
  };
  assert.deepEqual([mode("built"), mode("failed"), mode("proposed"), mode("pegged")], ["declutter", "obstacle", "obstacle", "declutter"]);
  assert.equal(mode("built", { attention: false, room: () => [0, 0] }), "obstacle");
});

test("a line is drawn over white, its symbol below those of points, finer where more ground is shown", () => {
  const styles = stylesOf(line, "built");
  assert.deepEqual(styles.map((s) => s.getZIndex()).slice(0, 2), [12, 13]);
  assert.deepEqual(
    styles.slice(-2).map((s) => s.getZIndex()),
    [25, 18],
  );
  const [white, colour] = widths(styles) as [number, number];
  assert.equal(white, colour + 3.5);
  const at = (resolution: number) => (widths(stylesOf(line, "built", resolution)) as number[])[1]! / colour;
  assert.deepEqual(
    [0.89, 0.9, 1.49, 1.5].map((r) => Math.round(at(r) * 100) / 100),
    [1, 0.7, 0.7, 0.45],
  );
});

test("an area lies below lines and is filled while it stands; what was removed is crossed", () => {
  const filled = (status: string) => stylesOf(area, status).some((s) => s.getFill() !== null);
  assert.deepEqual(["built", "failed", "proposed", "removed"].map(filled), [true, true, false, false]);
  assert.deepEqual(
    stylesOf(area, "built")
      .map((s) => s.getZIndex())
      .slice(0, 3),
    [5, 6, 7],
  );
  const crossed = (status: string) => stylesOf(line, status).some((s) => s.getZIndex() === 15);
  assert.ok(crossed("failed") || crossed("removed"));
  assert.ok(!crossed("built"));
  assert.deepEqual(
    stylesOf(line, "pegged")
      .map((s) => s.getZIndex())
      .slice(0, 3),
    [12, 13, 13],
    "pegs lie on the line, not under its white edge",
  );
});

test("where there is no room a symbol is small, shifted, or left out, and its line stays", () => {
  const drawn = (room: Crowding["room"], more: Partial<Crowding> = {}) => stylesOf(line, "built", 0.5, { attention: false, room, ...more });
  assert.equal(drawn(() => null).length, 2);
  const small = drawn(() => [0, 0, "small"]);
  assert.ok(icons.some((i) => i.includes("small obstacle")));
  assert.deepEqual(
    small.slice(2).map((s) => s.getZIndex()),
    [24],
  );
  assert.ok(drawn(() => [5, 5]).length > 3, "a line leads to it");
  const [below, above] = [false, true].map(
    (nameAbove) =>
      drawn(() => [0, 0], { nameAbove: () => nameAbove })
        .slice(-1)[0]!
        .getText()!
        .getOffsetY()!,
  );
  assert.ok(below! > 0 && above === -below!);
  const attention = stylesOf(new Point([0, 0]), "built", 0.5, { attention: true, room: () => [0, 0] });
  assert.equal(attention[1]!.getZIndex(), 34);
});
