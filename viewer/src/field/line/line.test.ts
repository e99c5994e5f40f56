// Lines and areas: recorded point by point, corrected, and saved.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { full } from "../../storage/errors.ts";
import { boot } from "../shell/boot.tsx";
import { at, coordinates, lat, lon, metresEast, metresNorth, walk } from "./places.test.ts";

test("a line is put down at the cross and where the officer stands, corrected, and saved", () =>
  onPage(boot, { address: "#/line/thalweg/line" }, async (page) => {
    await page.reads("Nothing recorded yet", "Thalweg 0 m");
    assert.equal(page.heading, "Thalweg");
    for (const none of ["Add where I stand", "Save", "Undo"]) assert.ok(page.isDisabled(none), none);
    assert.ok(!page.presses.includes("Edit a point"));
    await page.press("Add at the cross");
    await page.reads("The map shows no place yet. Wait for a GPS position.");
    await page.stand(lon, lat, 4);
    await page.reads("GPS ±4 m");
    assert.ok(!page.words.includes("GPS is poor"));
    await page.press("Add where I stand");
    await page.reads("1 point");
    assert.ok(page.isDisabled("Save"));
    await page.press("Add at the cross");
    await page.reads("2 points");
    assert.ok(!page.isDisabled("Save"));
    await page.press("Edit a point");
    await page.reads("Point 2 of 2, placed on the map");
    assert.ok(!page.presses.includes("Split here"));
    await page.press("Moves by 2 m: change the step");
    await page.press("10 m north");
    await page.press("10 m north");
    await page.press("10 m east");
    await page.press("10 m west");
    await page.press("Moves by 10 m: change the step");
    await page.press("0.5 m south");
    await page.press("0.5 m south");
    await page.press("Earlier");
    await page.reads("Point 1 of 2, by GPS, ±4 m");
    await page.press("Earlier");
    await page.reads("Point 2 of 2");
    await page.press("Later");
    await page.press("Add after");
    await page.press("Done");
    await page.reads("3 points", "about 19 m");
    await page.press("Edit a point");
    await page.press("Earlier");
    await page.reads("Point 2 of 3");
    await page.press("Remove");
    await page.reads("2 points");
    await page.press("Undo");
    await page.reads("3 points");
    if (page.presses.includes("Done")) await page.press("Done");
    await page.press("Undo");
    await page.reads("2 points");
    if (page.presses.includes("Done")) await page.press("Done");
    await page.press("Save");
    await page.reads("Thalweg saved, about 19 m");
    const [line] = await page.kept("thalweg");
    assert.deepEqual(coordinates(line).map(metresNorth), [0, 19]);
    assert.deepEqual(coordinates(line).map(metresEast), [0, 0]);
    await page.press("Back");
    await page.shows(() => page.address !== "#/line/thalweg/line", "no way back into what is done");
    await page.go("#/", "Stony Block");
    await page.reads("Today: ");
    assert.ok(!page.words.includes("not saved yet"), page.words);
  }));

test("a chosen point goes to the cross, and the others stay", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.stand(lon, lat, 4);
    for (let i = 0; i < 2; i++) await page.press("Add where I stand");
    await page.press("Edit a point");
    await page.press("Moves by 2 m: change the step");
    for (let i = 0; i < 3; i++) await page.press("10 m north");
    await page.press("Earlier");
    await page.press("10 m east");
    await page.reads("Point 1 of 2, placed on the map, ±4 m");
    await page.press("To the cross");
    await page.press("Done");
    await page.reads("about 30 m");
    await page.press("Save");
    await page.reads("Fence saved");
    const [fence] = await page.kept("fence");
    assert.deepEqual(
      coordinates(fence).map((c) => [metresEast(c), metresNorth(c)]),
      [
        [0, 0],
        [0, 30],
      ],
    );
  }));

test("what was being recorded when the page closed comes back", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.stand(lon, lat, 4);
    await page.press("Add where I stand");
    await page.go("#/line");
    await page.reads("Record a line or area", "1 point");
    const offered = () => page.find(".kindgroups").map((group) => group.getAttribute("aria-label"));
    assert.ok(page.isPressed("Line") && !page.isPressed("Area"));
    assert.deepEqual(offered(), ["Lines"]);
    assert.ok(page.presses.includes("Thalweg gully bed"), "who looks for the gully finds its line");
    await page.press("Area");
    assert.ok(page.isPressed("Area") && !page.presses.some((p) => p.startsWith("Thalweg")));
    assert.deepEqual(offered(), ["Areas"]);
    await page.go("#/line/fence/line", "Fence");
    await page.reads("This line was begun and is not saved. Continue, or save it as it is.", "1 point");
    await page.press("Add at the cross");
    await page.shows(() => !page.words.includes("was begun and"), "gone on");
  }));

test("a line that was begun by mistake is discarded, once the officer has said that she means it", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    assert.ok(!page.presses.includes("Discard"), "there is nothing yet");
    await page.stand(lon, lat, 4);
    await page.press("Walk");
    assert.ok(!page.presses.includes("Discard"), "she walks");
    await page.press("Pause");
    await page.press("Add where I stand");
    await page.press("Discard");
    await page.reads("Discard this line of 2 points? It cannot be brought back.");
    await page.press("Add where I stand");
    assert.ok(!page.presses.includes("Discard it"), "she goes on with it");
    await page.press("Discard");
    await page.press("Discard it");
    await page.reads("Fence discarded");
    assert.notEqual(page.address, "#/line/fence/line");
    assert.equal((await page.kept("fence")).length, 0);
    await page.go("#/", "Stony Block");
    assert.ok(!page.words.includes("not saved yet"), page.words);
    await page.go("#/line/fence/line", "Fence");
    await page.reads("Nothing recorded yet");
  }));

test("an area closes where its ends are joined, not when it crosses itself", () =>
  onPage(boot, { address: "#/line/scald/area" }, async (page) => {
    await page.stand(lon, lat, 4);
    await page.press("Walk");
    const crosses = () => page.find("svg.aim").length;
    await walk(page, [0, 0], [40, 0], [0, 40], [40, 40]);
    assert.equal(crosses(), 0, "a walk puts nothing down there");
    await page.press("Pause");
    assert.equal(crosses(), 1);
    await page.reads("as drawn, open", "Paused, 4 points");
    assert.ok(!page.words.includes("perimeter") && !page.words.includes("crosses itself"), page.words);
    await page.press("Join ends");
    await page.reads("The boundary crosses itself in the red ring on the map.");
    await page.press("Remove last point");
    await page.press("Join ends");
    await page.reads("Closed, 3 points", "perimeter");
    assert.equal(crosses(), 0, "it takes no more points");
    await page.press("Edit a point");
    assert.equal(crosses(), 1, "the chosen one can go there");
    await page.press("Earlier");
    assert.ok(!page.presses.includes("Split here"), "an area is one");
    await page.press("Done");
    assert.ok(!page.words.includes("crosses itself"), page.words);
    await page.press("Reopen");
    await page.reads("as drawn, open");
    await page.press("Join ends");
    await page.press("Save");
    await page.reads("Saved, recorded on 1 June 2026.");
    const [scald] = await page.kept("scald");
    assert.equal((scald!.fields["geometry"] as { type: string }).type, "Polygon");
  }));

test("an area that is not closed is saved as a line, and said so", () =>
  onPage(boot, { address: "#/line/scald/area" }, async (page) => {
    await page.press("Walk");
    await walk(page, [0, 0], [40, 0]);
    await page.press("Pause");
    assert.ok(page.isDisabled("Join ends"));
    await page.press("Save open");
    await page.reads("Scald saved open: about 40 m as drawn, no area");
  }));

test("points are put down by a tap, chosen by another, and dragged", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.stand(lon, lat, 4);
    await page.touchMap([0, 0]);
    await page.touchMap([0, -100]);
    await page.reads("2 points");
    await page.touchMap([0, -100]);
    await page.reads("Point 2 of 2");
    await page.press("Done");
    const before = page.words.match(/about (\d+) m/)![1];
    await page.touchMap([0, -100], [0, -150]);
    await page.shows(() => Number(page.words.match(/about (\d+) m/)?.[1]) > Number(before), "longer");
  }));

const perLeg = ({ positions }: { positions: readonly unknown[] }) => ({
  lengthM: 50 * (positions.length - 1),
  segmentsM: [],
  plusMinusM: 3,
  basis: "GPS",
});

test("lengths and areas are the model's as soon as it has answered, after every point", () =>
  onPage(
    boot,
    {
      answers: {
        line: perLeg,
        area: ({ rings }: { rings: unknown[][] }) => ({
          areaM2: 1200,
          plusMinusM2: 40,
          perimeterM: 30 * rings[0]!.length,
          perimeterPlusMinusM: 2,
          basis: "GPS",
        }),
      },
      address: "#/line/scald/area",
    },
    async (page) => {
      await page.press("Walk");
      await walk(page, [0, 0], [40, 0]);
      await page.reads("50 ± 3 m as drawn, open");
      assert.ok(!page.words.includes("Joining the ends"));
      await walk(page, [40, 40]);
      await page.reads("100 ± 3 m as drawn, open", "Joining the ends adds 20 m: perimeter 120 ± 2 m, area 1 200 ± 40 m²");
      await page.press("Pause");
      await page.press("Join ends");
      await page.reads("120 ± 2 m perimeter, 1 200 ± 40 m²");
      assert.ok(!page.words.includes("There is no area"), page.words);
      await page.press("Save");
      await page.reads("Scald saved: area 1 200 ± 40 m², perimeter 120 ± 2 m");
    },
  ));

test("an area that the model refuses is told why it is none, and its perimeter is what is saved of it", () => {
  const area = () => {
    throw { reason: "it has no inside", path: "rings[0]", fix: "Add a point off the line." };
  };
  return onPage(boot, { answers: { line: perLeg, area }, address: "#/line/scald/area" }, async (page) => {
    await page.press("Walk");
    await walk(page, [0, 0], [40, 0], [40, 40]);
    await page.press("Pause");
    assert.ok(!page.words.includes("no inside"), "it is open yet");
    await page.press("Join ends");
    await page.reads("There is no area: it has no inside. Add a point off the line.", "perimeter");
    await page.press("Save");
    await page.reads("Scald saved: perimeter 100 ± 3 m");
  });
});

test("a line is split at one of its points, joined again, and saved as the two that it is", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.press("Walk");
    await walk(page, [0, 0], [0, 10], [0, 20], [0, 30]);
    await page.press("Pause");
    await page.press("Edit a point");
    await page.reads("Point 4 of 4");
    assert.ok(!page.presses.includes("Split here"), "its end");
    await page.press("Later");
    await page.reads("Point 1 of 4");
    assert.ok(!page.presses.includes("Split here"), "its other end");
    await page.press("Later");
    await page.reads("Point 2 of 4");
    await page.press("Later");
    await page.press("Split here");
    await page.reads("Split here into lines 1 and 2.");
    await page.press("Join lines 1 and 2 again");
    await page.shows(() => !page.words.includes("Split here into"), "one line");
    await page.press("Undo");
    await page.reads("Split here into lines 1 and 2.");
    await page.press("Edit a point");
    assert.ok(!page.words.includes("Split here into"), "beside a point there is no room for it");
    await page.press("Done");
    await page.press("Save");
    await page.reads("2 fences saved", "Part 1 of 2");
    const fences = await page.kept("fence");
    assert.deepEqual(fences.map((f) => coordinates(f).map(metresNorth)).sort(), [
      [0, 10, 20],
      [20, 30],
    ]);
  }));

test("points that the phone cannot keep are told, since they are lost if the page closes", () => {
  const before = async (page: Page) => Object.assign(page.phone.store, { keepDraft: () => Promise.reject(full()) });
  return onPage(boot, { before, address: "#/line/fence/line" }, async (page) => {
    const told = "The last points could not be written to the phone.";
    await page.stand(lon, lat, 4);
    await page.reads("Nothing recorded yet");
    assert.ok(!page.words.includes(told), "there are none");
    await page.press("Add where I stand");
    await page.reads(told, "1 point");
    Reflect.deleteProperty(page.phone.store, "keepDraft");
    await page.press("Add at the cross");
    await page.shows(() => !page.words.includes(told), "all is kept");
  });
});

test("the height that the receiver gives is kept with the point", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.press("Walk");
    await page.stand(lon, lat, 4, 211.5);
    await page.clock.pass(5000);
    await page.stand(...at(0, 10), 4);
    await page.press("Save");
    await page.reads("Fence saved");
    assert.deepEqual((await page.kept("fence"))[0]!.fields["gpsHeightsM"], [211.5, null]);
  }));

const gully = {
  kind: "thalweg",
  name: "T1",
  observedOn: "2026-03-01",
  geometry: { type: "LineString", coordinates: [at(0, -100), at(0, 100)] },
};

test("a position of some seconds ago is no place of a point: the next is waited for", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.stand(...at(3, 0), 4);
    await page.clock.pass(6000);
    let asked = 0;
    const { geolocation } = page.navigator;
    const { watchPosition } = geolocation;
    geolocation.watchPosition = (each) => {
      asked++;
      return watchPosition(each);
    };
    await page.press("Add where I stand");
    assert.equal(asked, 1, "a receiver at rest says nothing new by itself");
    assert.ok(page.isPressed("Waiting for GPS"));
    await page.press("Waiting for GPS");
    assert.ok(!page.isPressed("Add where I stand"), "thought better of");
    await page.stand(...at(3, 0), 4);
    await page.reads("Nothing recorded yet");
    await page.clock.pass(6000);
    await page.press("Add where I stand");
    await page.stand(...at(3, 0), 4);
    await page.reads("1 point", "Add where I stand");
    await page.stand(...at(3, 1), 4);
    await page.reads("1 point");
    await page.press("Add where I stand");
    await page.reads("2 points");
    await page.clock.pass(6000);
    await page.press("Add where I stand");
    assert.ok(page.isPressed("Waiting for GPS"));
    await page.press("Walk");
    await page.press("Pause");
    assert.ok(!page.isPressed("Add where I stand"), "a walk is another way");
  }));

test("points beside a gully are put on its line when that is wanted, and a gully's own are not", () =>
  onPage(boot, { features: { g: gully }, address: "#/line/fence/line" }, async (page) => {
    await page.stand(...at(3, 0), 4);
    await page.press("Add where I stand");
    assert.ok(!page.isPressed("Snap to the thalweg"));
    await page.press("Snap to the thalweg");
    assert.ok(page.isPressed("Snap to the thalweg"));
    await page.clock.pass(60_000);
    await page.stand(...at(3, 40), 4);
    await page.press("Add where I stand");
    await page.press("Edit a point");
    await page.reads("Point 2 of 2, snapped to the thalweg, ±4 m");
    await page.press("Done");
    await page.clock.pass(60_000);
    await page.stand(...at(9, 80), 4);
    await page.press("Add where I stand");
    await page.press("Save");
    await page.reads("Fence saved");
    assert.deepEqual(coordinates((await page.kept("fence"))[0]).map(metresEast), [3, 0, 9], "the last is out of reach");
    await page.go("#/line/thalweg/line", "Thalweg");
    await page.stand(...at(3, 0), 4);
    await page.press("Add where I stand");
    assert.ok(!page.presses.includes("Snap to the thalweg"));
  }));
