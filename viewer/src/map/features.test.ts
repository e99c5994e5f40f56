// What of a property is drawn on the officer's map: where the names of lines are written.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import type { Extent } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import type Style from "ol/style/Style.js";
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
