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
import { sceneOf } from "./scene.ts";

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
