// What of a property is drawn on the officer's map: where the names of lines are written, and groups of what is too much.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import type OLFeature from "ol/Feature.js";
import type { Extent } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import Style from "ol/style/Style.js";
import type { Feature, Geometry as Place } from "../base/entry.ts";
import { drawn } from "../device/page.test.ts";
import { Drawn } from "./features.ts";
import type { ItemStyle } from "./painter.ts";
import { offMap } from "./projection.ts";
import { namesUpTo, sceneOf } from "./scene.ts";

/** A place in pixels at a unit of the map to a pixel. */
const at = (x: number, y = 0): [number, number] => (({ lon, lat }) => [lon, lat])(offMap([x, y]));
const feature = (id: string, kind: string, geometry: object): Feature => ({
  ...{ id, property: "p", struck: false, clashes: [], saw: {}, stamp: "0", unsent: 0 },
  fields: { kind, name: id, status: "built", geometry: geometry as Place },
});
const line = (id: string, kind: string, ...places: readonly number[]) =>
  feature(id, kind, { type: "LineString", coordinates: places.map((x) => at(x)) });
const dam = (x: number) => feature(`Dam at ${x}`, "check-dam", { type: "Point", coordinates: at(x) });

/** Where the name of the first of some things is written along its line, from and to, as the map shows an extent. */
const writtenOf = (things: readonly Feature[], sight: Extent): Promise<readonly [number, number] | undefined> => {
  let found: readonly [number, number] | undefined;
  return drawn(h("div", null), async () => {
    const map = new Drawn(1);
    map.look(sceneOf(things), sight, 1);
    const f = map.things
      .getSource()!
      .getFeatures()
      .find((one) => one.getGeometry() instanceof LineString)!;
    const styles: Style[] = (f.getStyle() as ItemStyle)(f, 1);
    const name = styles.find((s) => s.getText()?.getText() === things[0]!.fields["name"])?.getGeometry() as Geometry | undefined;
    if (name instanceof LineString) found = [name.getFirstCoordinate()[0]!, name.getLastCoordinate()[0]!];
  }).then(() => found);
};

test("the name of a gully is written along it between its dams, and where it is in sight", async () => {
  const gully = line("Gully", "thalweg", 0, 600);
  const whole: Extent = [-100, -300, 700, 300];
  const middle = (span: readonly [number, number] | undefined) => span && Math.round((span[0] + span[1]) / 2);
  assert.equal(middle(await writtenOf([gully], whole)), 300);
  const between = await writtenOf([gully, dam(300), dam(450)], whole);
  assert.ok(between, "it is written");
  for (const x of [300, 450]) assert.ok(between[1] < x - 18 || between[0] > x + 18, `${between.join(" to ")}, and a dam at ${x}`);
  for (const other of [dam(300), line("Bank", "whoa-boy", 280, 320), feature("Gate", "gate", { type: "Point", coordinates: at(300) })]) {
    const past = await writtenOf([gully, other], whole);
    assert.ok(past && (past[1] < 282 || past[0] > 318), `${past?.join(" to ")}, and at 300 ${other.id}`);
  }
  assert.equal(middle(await writtenOf([gully, line("Fence", "fence", 280, 320)], whole)), 300, "lines that are no works have no symbol");
  const part = await writtenOf([gully], [400, -300, 1200, 300]);
  assert.ok(part && part[0] > 400, `${part?.join(" to ")} is in sight from 400 on`);
});

/** So many things at a place, each apart from none. */
const heap = (n: number, x: number) =>
  Array.from({ length: n }, (_, i) => feature(`${x} ${i}`, "peg", { type: "Point", coordinates: at(x) }));
const onPaper = (job: (map: Drawn, drawnNow: () => OLFeature<Geometry>[]) => void) =>
  drawn(h("div", null), async () => {
    const map = new Drawn(1);
    job(map, () => map.things.getSource()!.getFeatures());
  });
const groupWords = (features: readonly OLFeature<Geometry>[]) =>
  features.flatMap((f) => (f.getStyle() instanceof Style ? [String((f.getStyle() as Style).getText()?.getText())] : [])).sort();

test("where more lie than can be drawn, each heap of them is a group that says how many it is, and can be pressed", () =>
  onPaper((map, drawnNow) => {
    const few = [...heap(2, 400), ...heap(1, 600)];
    const sight: Extent = [-300, -300, 900, 300];
    map.look(sceneOf([...heap(999, 0), ...heap(1000, 200), ...few]), sight, 1);
    assert.deepEqual([map.count(), drawnNow().length], ["1 3", 4]);
    assert.deepEqual(groupWords(drawnNow()), ["1k", "2", "999"]);
    const middle = (xy: readonly number[], resolution = 1) => map.groupAt(xy, resolution)?.map(Math.round);
    const [, y] = map.groupAt([0, 0], 1)!;
    for (const [xy, resolution, want] of [
      [[28, y!], 1, [0, 0]],
      [[28.01, y!], 1, undefined],
      [[228, 0], 1, [200, 0]],
      [[173, 0], 1, [200, 0]],
      [[200, 27], 1, [200, 0]],
      [[200, -29], 1, undefined],
      [[-56, y!], 2, [0, 0]],
      [[600, 0], 1, undefined],
    ] as const)
      assert.deepEqual(middle(xy, resolution)?.map(Math.abs), want, `${xy} at ${resolution}`);
    map.look(sceneOf(few), sight, 1);
    assert.deepEqual([map.count(), drawnNow().length, groupWords(drawnNow())], ["3 0", 3, []]);
    assert.equal(map.groupAt([200, 0], 1), null);
  }));

const nameOn = (f: OLFeature<Geometry>) =>
  (f.getStyle() as ItemStyle)(f, 1).flatMap((s) => (s.getText()?.getText() ? [String(s.getText()!.getText())] : []));

test("the name of a long gully follows what is in sight, moved by forty pixels or at another scale", () =>
  onPaper((map, drawnNow) => {
    const scene = sceneOf([line("Gully", "thalweg", 0, 4000)]);
    const middle = (west: number, resolution = 1) => {
      map.look(scene, [west, -300, west + 600 * resolution, 300], resolution);
      const [f] = drawnNow() as [OLFeature<Geometry>];
      const at = (f.getStyle() as ItemStyle)(f, resolution)
        .find((s) => s.getText())!
        .getGeometry() as LineString;
      return Math.round((at.getFirstCoordinate()[0]! + at.getLastCoordinate()[0]!) / 2);
    };
    assert.deepEqual([middle(1000), middle(1039), middle(961)], [1300, 1300, 1300]);
    assert.deepEqual([middle(1040), middle(1000)], [1340, 1300]);
    const before = map.things.getSource()!.getRevision();
    assert.deepEqual([middle(1010, 2), middle(1080, 2), middle(1091, 2)], [1610, 1610, 1691]);
    assert.ok(map.things.getSource()!.getRevision() > before, "it is drawn again");
  }));

test("what lies near the window is drawn, and no more than that, whatever was drawn before", () =>
  onPaper((map, drawnNow) => {
    const scene = sceneOf([300, 740, 760, 1400].map(dam));
    const ids = () => drawnNow().flatMap(nameOn).sort();
    const counted = (west: number) => {
      map.look(scene, [west, -300, west + 600, 300], 1);
      assert.equal(drawnNow().length, Number(map.count().split(" ")[0]));
      return ids();
    };
    assert.deepEqual(counted(0), ["Dam at 300", "Dam at 740"], "up to a quarter of it beyond its edge");
    assert.deepEqual(counted(149), ["Dam at 300", "Dam at 740"], "as it was drawn");
    assert.deepEqual(counted(160), ["Dam at 300", "Dam at 740", "Dam at 760"]);
    assert.deepEqual(counted(900), ["Dam at 1400", "Dam at 760"]);
    map.look(sceneOf([]), [0, -300, 600, 300], 1);
    assert.equal(drawnNow().length, 0);
  }));

test("names are written while a hundred and fifty things are in sight, and again when there are no more", () =>
  onPaper((map, drawnNow) => {
    const dams = Array.from({ length: namesUpTo + 1 }, (_, i) => dam(i));
    const names = (things: readonly Feature[]) => {
      map.look(sceneOf(things), [0, -300, 600, 300], 1);
      assert.equal(drawnNow().length, things.length);
      return drawnNow().flatMap(nameOn).length;
    };
    const most = dams.slice(1);
    assert.deepEqual([names(most), names(dams), names(most)], [namesUpTo, 0, namesUpTo]);
    const drawnAgain = (things: readonly Feature[]) => {
      const scene = sceneOf(things);
      map.look(scene, [0, -300, 600, 300], 1);
      const before = map.things.getSource()!.getRevision();
      map.look(scene, [50, -300, 650, 300], 1);
      return map.things.getSource()!.getRevision() > before;
    };
    assert.deepEqual([drawnAgain(most), drawnAgain(dams)], [true, false], "names that are not written need no drawing");
  }));

test("what is chosen is drawn above all others, with a ring below them, alone", () =>
  onPaper((map) => {
    const marked = () => [map.chosen, map.ring].map((layer) => layer.getSource()!.getFeatures());
    const shown = (thing?: Feature) => {
      const extent = map.choose(thing, 0)?.map((units) => Math.round(units) + 0);
      const [one, ring] = marked() as [OLFeature<Geometry>[], OLFeature<Geometry>[]];
      return [extent, one.flatMap(nameOn), ring.map((f) => (f.getStyle() as Style[]).length)];
    };
    assert.deepEqual(shown(dam(300)), [[300, 0, 300, 0], ["Dam at 300"], [1]]);
    assert.deepEqual(shown(line("Bank", "whoa-boy", 0, 40)), [[0, 0, 40, 0], ["Bank"], [3]]);
    assert.deepEqual(shown(), [undefined, [], []]);
  }));
