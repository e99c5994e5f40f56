// The shape of what is saved: edited point by point, kept while it is, and saved as one entry.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { draftKey } from "../../survey/line/drafts.ts";
import { boot } from "../shell/boot.tsx";
import { at, coordinates, lon, metresEast } from "./places.test.ts";

const track = {
  kind: "track",
  name: "T1",
  observedOn: "2026-03-01",
  geometry: { type: "LineString", coordinates: [at(0, 0), at(0, 50), at(50, 50)] },
  accuraciesM: [4, 4, 4],
};

test("the shape of a saved line is edited point by point, and the edit is one entry", () =>
  onPage(boot, { features: { t: track }, address: "#/shape/t" }, async (page) => {
    await page.reads("about 100 m");
    assert.equal(page.heading, "T1");
    assert.ok(page.isDisabled("Save") && page.isDisabled("Undo"));
    await page.press("Edit a point");
    await page.reads("Point 3 of 3, by GPS To the cross"); // nobody knows how good it is
    assert.ok(!page.presses.includes("Split here"));
    await page.press("Moves by 2 m: change the step");
    await page.press("10 m east");
    await page.press("Done");
    await page.reads("about 110 m");
    await page.go("#/", "Stony Block");
    await page.go("#/shape/t", "T1");
    await page.reads("This edit was begun and not saved. Continue, or go back to drop it.", "about 110 m");
    await page.press("Done");
    await page.press("Save");
    await page.reads("T1: shape edited");
    await page.shows(() => page.address !== "#/shape/t", "the screen before");
    assert.equal(await page.phone.store.draft(draftKey("t")), undefined, "nothing is left of the edit");
    const entries = await page.entries("t");
    assert.equal(entries.length, 2);
    assert.deepEqual(Object.keys(entries[1]!.set!).includes("kind"), false);
    assert.deepEqual(coordinates((await page.phone.store.feature("t"))!).map(metresEast), [0, 0, 60]);
  }));

test("a point is moved to where the map is tapped; going back drops the edit", () =>
  onPage(
    boot,
    {
      features: {
        p: { kind: "peg", name: "P1", observedOn: "2026-03-01", accuracyM: 50, geometry: { type: "Point", coordinates: at(0, 0) } },
      },
      address: "#/shape/p",
    },
    async (page) => {
      await page.reads("Tap or drag to where it is");
      await page.touchMap([100, 0]);
      assert.ok(!page.isDisabled("Save"));
      await page.press("Back");
      await page.shows(() => page.address === "#/", "back");
      assert.equal((await page.entries("p")).length, 1);
      await page.go("#/shape/p", "P1");
      await page.reads("Tap or drag to where it is");
      assert.ok(page.isDisabled("Save"), "nothing is left of the edit");
      await page.touchMap([100, 0]);
      await page.press("Save");
      await page.reads("P1: position edited");
      const { fields } = (await page.phone.store.feature("p"))!;
      const [east] = (fields["geometry"] as { coordinates: number[] }).coordinates as [number];
      assert.ok(east > lon);
      assert.ok(Number(fields["accuracyM"]) < 50, `aimed by where it was itself: ${fields["accuracyM"]}`);
    },
  ));

test("an item that is not here, or whose shape came from a file, is not edited", () =>
  onPage(
    boot,
    {
      features: {
        t: {
          ...track,
          geometry: {
            type: "MultiPolygon",
            coordinates: [[[at(0, 0), at(9, 0), at(9, 9), at(0, 0)]], [[at(20, 0), at(29, 0), at(29, 9), at(20, 0)]]],
          },
        },
      },
      address: "#/shape/t",
    },
    async (page) => {
      await page.reads("Its shape came from a file and cannot be edited on the phone.");
      await page.go("#/shape/other");
      await page.reads("Not on this phone");
    },
  ));

const scald = {
  kind: "scald",
  name: "S1",
  observedOn: "2026-03-01",
  geometry: { type: "Polygon", coordinates: [[at(0, 0), at(100, 0), at(100, 100), at(0, 100), at(0, 0)]] },
};

test("a tap on a side of an area adds a point, and a boundary that encloses nothing is not saved", () =>
  onPage(
    boot,
    {
      features: { s: scald },
      answers: {
        area: ({ rings }: { rings: unknown[][] }) => ({
          ...{ areaM2: 10_000, plusMinusM2: 300, perimeterM: 100 * (rings[0]!.length - 1), perimeterPlusMinusM: 6, basis: "GPS" },
        }),
      },
      address: "#/shape/s",
    },
    async (page) => {
      await page.reads("400 ± 6 m perimeter, 1.00 ± 0.03 ha");
      await page.clock.pass(1000);
      const crosses = () => page.find("svg.aim").length;
      await page.touchMap([0, 0]);
      assert.ok(page.isDisabled("Undo") && crosses() === 0, "the middle of the area is none of its sides");
      await page.touchMap([115, 20]);
      assert.equal(crosses(), 1, "the chosen point can go there");
      await page.reads("Point 3 of 5, placed on the map", "500 ± 6 m perimeter");
      await page.press("Done");
      await page.press("Undo");
      await page.reads("400 ± 6 m perimeter");
      assert.ok(page.isDisabled("Save") && page.isDisabled("Undo"));
      await page.touchMap([-125, -125], [185, 0]);
      await page.reads("Point 4 of 4");
      await page.press("Done");
      await page.press("Save");
      await page.reads("The boundary crosses itself in the red ring on the map. Move or remove a point there.");
      await page.press("Edit a point");
      await page.press("Remove");
      assert.ok(!page.words.includes("crosses itself"), page.words);
      await page.press("Edit a point");
      await page.press("Remove");
      await page.press("Save");
      await page.reads("An area needs three points. Add one.");
      assert.equal((await page.entries("s")).length, 1);
      await page.press("Undo");
      assert.ok(!page.words.includes("needs three points"), page.words);
      await page.press("Done");
      await page.press("Save");
      await page.reads("S1: shape edited");
      assert.equal(coordinates((await page.kept("scald"))[0]).flat().length, 4);
    },
  ));

test("a boundary that was not closed is measured as drawn, and a change elsewhere meanwhile is told", () =>
  onPage(boot, { features: { s: { ...scald, geometry: track.geometry }, t: track }, address: "#/shape/s" }, async (page) => {
    await page.reads("about 100 m as drawn, open");
    assert.ok(!page.words.includes("changed elsewhere") && !page.words.includes("begun and not saved"), page.words);
    await page.phone.store.capture(property, [{ feature: "s", set: { notes: "salt" } }]);
    await page.reads("This scald was changed elsewhere meanwhile.");
    await page.go("#/shape/t", "T1");
    await page.reads("about 100 m");
    assert.ok(!page.words.includes("as drawn"), page.words);
  }));
