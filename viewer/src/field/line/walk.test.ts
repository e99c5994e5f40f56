// Lines that are walked: what the receiver gives, pauses, and what may stop a walk.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";
import { at, coordinates, lat, lon, metresNorth, walk } from "./places.test.ts";

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
