// A map of an officer's page on a phone, drawn for a test, and what is on it.

import assert from "node:assert/strict";
import { h } from "preact";
import type { Feature } from "../base/entry.ts";
import type { Place } from "../base/plane.ts";
import { drawn, type Page } from "../device/page.test.ts";
import type { Fix } from "../sensor/fix.ts";
import type { Sketch } from "./sketch.ts";
import { groundMetresPerUnit, offMap, project } from "./projection.ts";
import { FieldMap } from "./surveymap.ts";

export const lat = -20.25;
export const [west, east] = [146.5, 146.51];
export const acrossPx = 390 - 2 * 28;
const [westX, y0] = project([west, lat], west);
export const wide = project([east, lat], west)[0] - westX;
export const ground = groundMetresPerUnit(y0);
export const firstM = (wide / acrossPx) * ground; // to a pixel, when all is shown
export const lonOf = (units: number) => west + (units / wide) * (east - west);

/** A work so many units of the map east of the west one. */
export const thing = (id: string, units: number, kind = "check-dam", more: object = {}): Feature => ({
  ...{ id, property: "p", struck: false, clashes: [], saw: {}, stamp: "0", unsent: 0 },
  fields: { kind, name: id, status: "built", geometry: { type: "Point", coordinates: [lonOf(units), lat] }, ...more },
});
export const fix = (units: number, north = 0): Fix => ({
  ...offMap([westX + units, y0 + north]),
  accuracyM: 5,
  at: new Date(0),
  count: 1,
  takenMS: 0,
});

export interface Shown {
  readonly map: FieldMap;
  readonly page: Page;
  readonly told: string[];
  readonly places: Place[];
  readonly scale: () => number;
  readonly rest: () => Promise<void>;
  /** Where the middle of the map lies, in pixels right of and above a place of the map. */
  readonly off: (units?: number) => [number, number];
  meant: boolean; // taps mean a place
  grabs: boolean; // a finger goes down on what is dragged
}

export const onMap = (things: readonly Feature[] | null, job: (is: Shown) => Promise<void>, beginsHere = false) =>
  drawn(h("div", { class: "map" }), async (page) => {
    let metres = 0;
    const told: string[] = [];
    const places: Place[] = [];
    const map: FieldMap = new FieldMap(
      page.find(".map")[0] as HTMLElement,
      {
        picked: (id) => void told.push(`picked ${id}`),
        tapped: (at, metresPerPx) => {
          places.push(at);
          assert.equal(metresPerPx, map.middle()!.metresPerPx);
          if (is.meant) told.push("tapped");
          return is.meant;
        },
        moved: (m) => (metres = m),
        grabbed: (at) => {
          if (is.grabs) places.push(at);
          return is.grabs;
        },
        dragged: (to) => {
          told.push("dragged");
          places.push(to);
        },
        dropped: () => void told.push("dropped"),
      },
      beginsHere,
    );
    const rest = () => page.clock.pass(300); // longer than the map glides
    const off = (units = 0): [number, number] => {
      const { at } = map.middle()!;
      const [x, y] = project([at.lon, at.lat], west);
      const resolution = map.middle()!.metresPerPx / groundMetresPerUnit(y);
      return [(x - westX - units) / resolution, (y - y0) / resolution];
    };
    const is: Shown = { map, page, told, places, scale: () => metres, rest, off, meant: false, grabs: false };
    if (things) map.show(things, []);
    await rest();
    await job(is);
    map.dispose();
    assert.equal(page.find(".ol-viewport").length, 0);
  });
export const near = (got: number, want: number, what: string, by = 1e-3) =>
  assert.ok(Math.abs(got / want - 1) < by, `${what}: ${got}, want ${want}`);
export const close = ([x, y]: readonly [number, number], [wx, wy]: readonly [number, number], what: string) =>
  assert.ok(Math.hypot(x - wx, y - wy) < 0.6, `${what}: ${x}, ${y}, want ${wx}, ${wy}`);
/** Moves the map so far: with two moves of the finger it follows from the first on. */
export const pan = async ({ page, rest }: Shown, x: number, y: number) => {
  await page.touchMap([-x, -y], [x, y]);
  await rest();
};
export const two = [thing("D1", 0), thing("E", wide)];
export const sketch = (more: Partial<Sketch>): Sketch => ({ pieces: [], area: false, closed: false, chosen: null, fault: null, ...more });
