// What lies under and over the items of a map: the grid's crosses, where the officer stands, and
// the ring round what is chosen; and how what is painted once is painted.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import type Circle from "ol/geom/Circle.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import type Layer from "ol/layer/Layer.js";
import type RegularShape from "ol/style/RegularShape.js";
import type Style from "ol/style/Style.js";
import { drawn } from "../device/page.test.ts";
import type { Fix } from "../sensor/fix.ts";
import { crossesApart, crossesLayer } from "./grid.ts";
import { HereLayer } from "./here.ts";
import { besides, painter } from "./painter.ts";
import { groundMetresPerUnit, project } from "./projection.ts";
import { dresser } from "./style.ts";

/** What was called of the pens of every canvas that is made while a job runs. */
const penned = (job: (calls: (name: string) => number[][], all: () => string[]) => void) =>
  drawn(h("div", null), async (page) => {
    const made: [string, unknown[]][] = [];
    const pen = new Proxy({} as Record<string, unknown>, {
      get: (own, name: string) => own[name] ?? ((...args: unknown[]) => void made.push([name, args])),
      set: (own, name: string, value) => {
        own[name] = value;
        made.push([`${name}=${String(value)}`, []]);
        return true;
      },
    });
    Object.assign(page.window.HTMLCanvasElement.prototype, { getContext: () => pen });
    job(
      (name) => made.flatMap(([n, args]) => (n === name ? [args as number[]] : [])),
      () => made.map(([n]) => n),
    );
  });
const close = (got: readonly number[], want: readonly number[], what = "") =>
  got.forEach((n, i) => assert.ok(Math.abs(n - want[i]!) < 1e-6, `${what} ${got.join()}, want ${want.join()}`));

test("the crosses of a map lie on its anchor and at round distances from it, all over the window", () =>
  penned((calls, all) => {
    const layer = crossesLayer(() => [1037, 53]) as Layer & { render(frame: object): HTMLElement };
    const frame = (x: number, y: number, pixelRatio = 1) => ({
      viewState: { center: [x, y], resolution: 1 },
      size: [300, 300],
      pixelRatio,
    });
    assert.equal(crossesApart(1), 100);
    const places = () => {
      const lines = calls("moveTo").map((from, i) => [...from, ...calls("lineTo")[i]!] as [number, number, number, number]);
      return lines.filter((_, i) => i % 2 === 0).map(([x, y, x2, y2]) => [(x + x2) / 2, y, x2 - x, y2 - y] as const);
    };
    const sheet = layer.render(frame(1037, 53));
    const level = places();
    assert.equal(level.length, 16, "50, 150, 250 and 350 px, across and down");
    for (const [x, y, wide, high] of level) {
      close([x % 100, y % 100, wide, high], [50, 50, 10, 0]);
      assert.ok(x >= 0 && x < 400 && y >= 0 && y < 400);
    }
    const upright = calls("moveTo").flatMap(([x, y], i) => (i % 2 === 1 ? [[x!, y!, ...calls("lineTo")[i]!]] : []))[0]!;
    close(upright, [50, 45, 50, 55]);
    const before = calls("moveTo").length;
    layer.render(frame(1047, 73, 2));
    const moved = calls("moveTo").slice(before)[0]!;
    close(moved, [40 - 5, 70]);
    assert.deepEqual(calls("scale"), [
      [1, 1],
      [2, 2],
    ]);
    const canvas = sheet.firstElementChild as HTMLCanvasElement;
    assert.deepEqual([canvas.width, canvas.height, canvas.style.transformOrigin], [600, 600, "0 0"], "as fine as the screen");
    const rest = all().filter((name) => !/^(moveTo|lineTo|scale)$/.test(name));
    assert.deepEqual(rest.slice(0, 4), ["strokeStyle=#8d8a7e", "lineWidth=1", "beginPath", "stroke"]);
  }));

test("where the officer stands is a dot in a ring as wide as it is doubtful, with a beak where she looks", () => {
  const here = new HereLayer();
  const shown = () => here.layer.getSource()!.getFeatures();
  const fix = { lon: 146.5, lat: -20.25, accuracyM: 8 } as Fix;
  here.show(fix);
  const [ring, dot] = shown();
  const at = project([fix.lon, fix.lat], fix.lon);
  close((dot!.getGeometry() as Point).getCoordinates(), at);
  close((ring!.getGeometry() as Circle).getCenter(), at);
  close([(ring!.getGeometry() as Circle).getRadius()], [8 / groundMetresPerUnit(at[1])]);
  assert.ok(!Array.isArray(dot!.getStyle()));
  here.show(fix, 90);
  const [beak] = shown()[1]!.getStyle() as Style[];
  close([(beak!.getImage() as RegularShape).getRotation()], [Math.PI / 2]);
  assert.deepEqual((ring!.getStyle() as Style[]).length, 2, "on a white edge");
  here.show(null);
  assert.equal(shown().length, 0);
  here.near = -179.9;
  here.show({ ...fix, lon: 179.9 });
  close((shown()[1]!.getGeometry() as Point).getCoordinates(), project([-180.1, fix.lat], -180), "beside what lies over the antimeridian");
});

test("what is chosen has a ring round its symbol, and a line one along it", () =>
  penned(() => {
    const { halo } = dresser(1);
    const place = (styles: Style[]) => (styles[styles.length - 1]!.getGeometry() as Point).getCoordinates();
    assert.equal(halo(new Point([5, 6])).length, 1);
    assert.deepEqual(place(halo(new Point([5, 6]), [1, 2])), [6, 8]);
    const line = new LineString([
      [0, 0],
      [10, 0],
    ]);
    assert.equal(halo(line).length, 3);
    assert.deepEqual(place(halo(line)), [5, 0]);
    const beside = besides(new Point([5, 6]), [30, 40], undefined as never, 30);
    assert.equal(beside.length, 3);
    assert.deepEqual((beside[0]!.getGeometry() as LineString).getCoordinates(), [
      [5, 6],
      [35, 46],
    ]);
    assert.deepEqual((beside[2]!.getGeometry() as Point).getCoordinates(), [35, 46]);
  }));

test("a symbol is painted once, at the screen's own fineness, its mark in the middle", () =>
  penned((calls, all) => {
    const paint = painter(2);
    let painted = 0;
    const icon = (key: string) =>
      paint.icon(
        key,
        () => {
          painted++;
          return [
            { path: "M0 0", fill: "#111111" },
            { path: "M1 1", stroke: "#222222", width: 3, dash: [4, 5], inMark: true },
            { path: "M2 2", stroke: "#333333" },
          ];
        },
        40,
        "none",
      );
    assert.equal(icon("a"), icon("a"));
    assert.equal(painted, 1);
    assert.notEqual(icon("b"), icon("a"));
    assert.equal(icon("a").getScale(), 0.5);
    assert.deepEqual(calls("setTransform").slice(0, 3), [
      [2, 0, 0, 2, 0, 0],
      [2, 0, 0, 2, 16, 16],
      [2, 0, 0, 2, 0, 0],
    ]);
    assert.deepEqual(calls("setLineDash").slice(0, 2), [[[]], [[4, 5]]]);
    const lines = all().filter((n) => /^(fill|stroke)$|Style=|lineWidth=/.test(n));
    assert.deepEqual(lines.slice(0, 8), [
      "fillStyle=#111111",
      "fill",
      "strokeStyle=#222222",
      "lineWidth=3",
      "stroke",
      "strokeStyle=#333333",
      "lineWidth=1",
      "stroke",
    ]);
    const before = calls("fillRect").length;
    paint.pattern("M0 0", "#445566");
    paint.pattern("M0 0", "#445566");
    assert.deepEqual(calls("fillRect").slice(before), [[0, 0, 72, 72]]);
    const alphas = all().filter((n) => n.startsWith("globalAlpha="));
    assert.deepEqual(alphas, ["globalAlpha=0.08", "globalAlpha=0.5"]);
    const ground = all().slice(all().indexOf("globalAlpha=0.08"));
    assert.deepEqual(ground, ["globalAlpha=0.08", "fillStyle=#445566", "fillRect", "globalAlpha=0.5", "drawImage", "createPattern"]);
    for (const round of ["lineCap=round", "lineJoin=round"]) assert.ok(all().includes(round), round);
  }));
