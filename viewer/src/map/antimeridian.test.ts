// What lies on both sides of the antimeridian is on the map in one piece.

import assert from "node:assert/strict";
import test from "node:test";
import type { Fix } from "../sensor/fix.ts";
import { SketchLayer } from "./sketch.ts";
import type { FieldMap } from "./surveymap.ts";
import { lat, wide, firstM, thing, fix, onMap, near, sketch } from "./shown.test.ts";

test("a sketch over the antimeridian is in one piece", () => {
  const layer = new SketchLayer();
  const east = { lon: 179.999, lat },
    west = { lon: -179.999, lat };
  for (const near of [0, 179, -179]) {
    layer.near = near;
    layer.show(sketch({ pieces: [[east, west]] }));
    const [w, , e] = layer.layer.getSource()!.getExtent()!;
    assert.ok(Math.abs(((e! - w!) / wide) * 0.01 - 0.002) < 1e-6, `near ${near}: from ${w} to ${e}`);
    assert.ok(near === 0 || Math.sign(w!) === Math.sign(near), `near ${near}: at ${w}`);
  }
});

test("a property over the antimeridian is in one piece, with who stands on it", () => {
  const at = (lon: number) => ({ geometry: { type: "Point", coordinates: [lon, lat] } });
  return onMap([thing("E", 0, "peg", at(179.999)), thing("W", 0, "peg", at(-179.999))], async (is) => {
    const stays = async (what: string) => {
      await is.rest();
      near(is.scale(), firstM / 5, what);
      assert.ok(180 - Math.abs(is.map.middle()!.at.lon) < 1e-6, `${what}: ${is.map.middle()!.at.lon}`);
    };
    await stays("all");
    for (const lon of [179.9995, -179.9995]) {
      is.map.here({ ...fix(0), lon }, undefined, true);
      await stays(`who stands at ${lon} is in sight`);
      is.map.keepClear([], { lon, lat });
      await stays(`and nothing covers ${lon}`);
    }
  });
});

test("who walks over the antimeridian stays in sight, also where there is nothing else or only what she draws", async () => {
  const at = (lon: number): Fix => ({ ...fix(0), lon });
  for (const begin of [
    (map: FieldMap) => map.here(at(179.9999), undefined, false),
    (map: FieldMap) => map.sketch(sketch({ pieces: [[at(179.9998), at(-179.9998)]] })),
  ])
    await onMap(null, async (is) => {
      begin(is.map);
      await is.rest();
      const before = is.map.middle();
      is.map.here(at(-179.9999), undefined, true);
      await is.rest();
      assert.deepEqual(is.map.middle(), before);
    });
});
