// Lines and areas: recorded point by point or walked, corrected, and saved.

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

test("the map stays where it is while points are put down, and follows who walks", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.stand(lon, lat, 4);
    await page.press("Add at the cross");
    await page.clock.pass(60_000);
    await page.stand(...at(0, 500), 4);
    await page.press("Add at the cross");
    await page.reads("about 0 m");
    await page.press("Walk");
    await walk(page, [0, 500], [0, 1000]);
    await page.clock.pass(1000);
    await page.press("Pause");
    await page.press("Add at the cross");
    await page.press("Save");
    await page.reads("Fence saved");
    const [fence] = await page.kept("fence");
    const { coordinates: pieces } = fence!.fields["geometry"] as { coordinates: number[][][] };
    assert.deepEqual(
      pieces.map((piece) => piece.map((c) => Math.round(metresNorth(c) / 100))),
      [
        [0, 0],
        [5, 10, 10],
      ],
    );
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

test("a walk takes what the receiver gives, stops for a pause, and tells what is missing", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.press("Walk");
    await page.reads("Walking, 0 points");
    await walk(page, [0, 0], [0, 10], [0, 20]);
    await page.reads("Walking, 3 points", "about 20 m");
    await page.stand(...at(0, 30), 60);
    await page.reads("GPS is too poor to record: stand in the open until it is better.", "Walking, 3 points");
    await page.stand(...at(0, 27), 50);
    await page.reads("Walking, 4 points");
    await page.stand(...at(0, 30), 20);
    await page.reads("GPS is poor: points recorded now may be out by ±20 m or more.");
    await page.stand(...at(0, 30), 10);
    assert.ok(!page.words.includes("GPS is poor"), page.words);
    await page.seen(true);
    assert.ok(page.words.includes("Walking, "), page.words);
    await page.seen(false);
    await page.reads("Not recording: waiting for a position");
    await page.stand(...at(0, 35), 4);
    await page.seen(true);
    await page.reads("Not recording: waiting for a position");
    await page.clock.pass(60_000);
    await walk(page, [0, 60], [0, 70]);
    await page.press("Pause");
    await page.reads("Paused", "1 gap");
    assert.equal(page.lines("Gaps in the line").length, 1);
    await page.press("Join straight across gap 1");
    await page.shows(() => !page.words.includes("1 gap"), "no gap");
    await page.press("Undo");
    await page.reads("1 gap");
    await page.press("Continue");
    await walk(page, [0, 75]);
    await page.press("Pause");
    await page.press("Save");
    await page.reads("Fence saved");
    const [fence] = await page.kept("fence");
    assert.equal((fence!.fields["geometry"] as { type: string }).type, "MultiLineString");
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

test("a walk that broke off goes on when it is continued, with a gap", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.press("Walk");
    await walk(page, [0, 0], [0, 10], [0, 20]);
    await page.reads("Walking, 3 points");
    await page.go("#/", "Stony Block");
    assert.equal(page.leads("Continue the fence"), "#/line/fence/line");
    await page.clock.pass(1_800_000);
    await page.go("#/line/fence/line", "Fence");
    await page.reads("Not recording: waiting for a position");
    await walk(page, [0, 80], [0, 90]);
    await page.reads("Walking, 5 points, 1 gap");
    assert.equal(page.lines("Gaps in the line").length, 1);
  }));

test("a walk that broke off long ago waits, says that nothing is recorded, and has Continue as its main key", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    const main = () => page.find(".b-main").map((b) => b.textContent);
    await page.press("Walk");
    await walk(page, [0, 0], [0, 10]);
    await page.reads("Walking, 2 points");
    await page.go("#/", "Stony Block");
    await page.clock.pass(3_600_000);
    await page.go("#/line/fence/line", "Fence");
    await page.reads("Paused, 2 points", "Nothing is recorded now. Continue, or save this line as it is.");
    assert.deepEqual(main(), ["Continue"]);
    await page.press("Continue");
    await walk(page, [0, 80]);
    await page.reads("Walking, 3 points, 1 gap");
    await page.press("Pause");
    await page.shows(() => main().join() === "Save", "after a pause the line is saved");
    assert.ok(!page.words.includes("Nothing is recorded now"), page.words);
  }));

test("undo of a save in the middle of a walk brings the walk back, and it goes on", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.press("Walk");
    await walk(page, [0, 0], [0, 10], [0, 20]);
    await page.reads("Walking, 3 points");
    await page.press("Save");
    await page.reads("Fence saved, about 20 m", "Add what you know.");
    await page.press("Undo");
    await page.reads("Walking, 3 points");
    assert.equal(page.address, "#/line/fence/line");
    assert.ok(!page.words.includes("Continue"), page.words);
    await walk(page, [0, 24], [0, 34]);
    await page.reads("Walking, 5 points");
    assert.ok(!page.words.includes("gap"), page.words);
    await page.press("Pause");
    await page.press("Save");
    await page.reads("Fence saved, about 34 m");
    const fences = await page.kept("fence");
    const [kept] = fences.filter((f) => !f.struck);
    assert.deepEqual([fences.length, coordinates(kept).map(metresNorth)], [2, [0, 10, 20, 24, 34]]);
  }));

test("undo of a saved line that was not being walked brings it back as it was, and kept", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    await page.press("Walk");
    await walk(page, [0, 0], [0, 10]);
    await page.press("Pause");
    await page.press("Save");
    await page.reads("Fence saved, about 10 m");
    await page.press("Undo");
    await page.reads("Paused, 2 points", "Nothing is recorded now. Continue, or save this line as it is.");
    await page.go("#/", "Stony Block");
    await page.reads("A fence of 2 points is not saved yet.");
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

test("a walk whose screen the phone will not keep on is warned of, as long as it is on", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    const warned = () => page.words.includes("The screen may sleep and stop the walk: keep touching it.");
    await page.reads("Nothing recorded yet");
    assert.ok(!warned());
    await page.press("Walk");
    await page.shows(warned, "that the screen may sleep");
    await page.press("Pause");
    assert.ok(!warned());
    let released = 0;
    const lock = Object.assign(new EventTarget(), { released: false, release: async () => void released++ });
    Object.assign(page.navigator, { wakeLock: { request: async () => lock } });
    await page.press("Continue");
    await page.reads("Walking");
    assert.ok(!warned() && released === 0);
    await page.press("Pause");
    await page.shows(() => released === 1, "that the screen may sleep again");
  }));

test("a tap puts no point down on a walk, nor on a closed area", () =>
  onPage(boot, { address: "#/line/scald/area" }, async (page) => {
    await page.press("Walk");
    await walk(page, [0, 0], [40, 0]);
    await page.touchMap([60, -150]);
    await page.reads("2 points");
    await page.press("Pause");
    await page.touchMap([60, -150]);
    await page.reads("3 points");
    await page.press("Join ends");
    await page.touchMap([-100, 150]);
    await page.reads("Closed, 3 points");
  }));
