// Photos: taken or chosen, asked about where they are of another time, recorded, and looked at.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { full } from "../../storage/errors.ts";
import { boot } from "../shell/boot.tsx";
import { choose, dam, jpegOf } from "./pictures.test.ts";

const jpeg = jpegOf(8, 6);

test("a photo of the tap is recorded with its day and place, and listed", () =>
  onPage(boot, { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a" }, async (page) => {
    await page.reads("Photos of D1", "Photos taken now are dated 1 June 2026.", "No photos yet.");
    assert.ok(page.presses.includes("Camera here"));
    await page.stand(146.5, -20.25, 4);
    await page.press("Take photo");
    await choose(page, jpeg, page.clock.nowMS + 1000);
    await page.reads("Photo of D1 saved");
    const [photo] = await page.kept("visit");
    assert.equal(photo!.fields["of"], "a");
    assert.equal(photo!.fields["observedOn"], "2026-06-01");
    assert.equal((photo!.fields["photos"] as string[]).length, 1);
    assert.deepEqual((photo!.fields["geometry"] as { coordinates: number[] } | undefined)?.coordinates, [146.5, -20.25]);
    await page.shows(() => page.presses.includes("Match the last"), "that there is one");
    assert.ok(!page.words.includes("No photos yet."));
    const [sha] = photo!.fields["photos"] as [string];
    await page.go(`#/photo/a/${sha}`, "D1");
    await page.reads("1 June 2026");
    for (const other of ["Earlier", "Later", "Edit day"]) assert.ok(!page.presses.includes(other) && !page.words.includes(other), other);
    await page.go("#/photo/a/0000");
    await page.reads("This photo is not on this phone.");
  }));

test("a picture of the gallery is asked about: the day is not invented", () =>
  onPage(boot, { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a" }, async (page) => {
    await page.press("Gallery");
    await choose(page, jpeg, Date.UTC(2026, 1, 1));
    await page.reads("When was it taken?", "Picture of D1, from the gallery", "The picture has no date.", "The picture has no position");
    await page.press("Save photo");
    await page.reads("Choose one. Choose Not known where nobody can say.");
    await page.press("On another day");
    assert.ok(!page.words.includes("Choose one."));
    await page.press("Save photo");
    assert.equal(page.wrongWith("Day"), "Enter the day.");
    await page.type("Day", "2026-06-02");
    assert.equal(page.wrongWith("Day"), "", "it is no longer missing");
    await page.press("Save photo");
    assert.equal(page.wrongWith("Day"), "This day is still to come.");
    assert.deepEqual(await page.kept("visit"), []);
    await page.type("Day", "2026-06-01");
    await page.press("Save photo");
    await page.reads("Photo of D1 saved");
    assert.equal((await page.kept("visit"))[0]!.fields["observedOn"], "2026-06-01");
  }));

test("a picture whose day nobody knows is recorded without one, and one that is not wanted is not", () =>
  onPage(boot, { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a" }, async (page) => {
    await page.press("Gallery");
    await choose(page, jpeg, Date.UTC(2026, 1, 1));
    await page.press("Discard");
    await page.reads("Photos of D1");
    assert.deepEqual(await page.kept("visit"), []);
    await page.press("Gallery");
    await choose(page, jpeg, Date.UTC(2026, 1, 1));
    await page.press("Not known");
    const { store } = page.phone;
    Object.assign(store, { keepDrafts: () => Promise.reject(full()) });
    await page.press("Save photo");
    await page.reads("The phone's storage is full: this was not saved.", "When was it taken?");
    Reflect.deleteProperty(store, "keepDrafts");
    await page.press("Save photo");
    await page.reads("Photo of D1 saved");
    assert.equal((await page.kept("visit"))[0]!.fields["observedOn"], undefined);
  }));

test("a camera that gave nothing back is asked for again, or given up", () =>
  onPage(boot, { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a" }, async (page) => {
    await page.press("Take photo");
    await page.go("#/", "Stony Block");
    await page.go("#/photo/a", "Photos of D1");
    await page.reads("The photo of D1 did not come back from the camera at 09:0");
    await page.press("No photo");
    await page.shows(() => !page.words.includes("did not come back"), "given up");
    await page.press("Take photo");
    await choose(page);
    await page.go("#/photo", "Photo of what?");
    assert.ok(!page.words.includes("did not come back"), "the officer went back without one");
    await page.press(page.presses.find((p) => p.startsWith("D1"))!);
    await page.reads("Photos of D1");
  }));

test("what is no picture is told, and the size is chosen", () =>
  onPage(boot, { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a" }, async (page) => {
    const folds = page.presses.find((p) => p.startsWith("Size: "))!;
    await page.press(folds);
    const sizes = page.find("fieldset button").map((b) => b.textContent!);
    assert.ok(sizes.length > 1);
    await page.press(sizes[1]!, "Kept as");
    await page.reads(`Size: ${sizes[1]!.toLowerCase()}`, "cracks, soil, a plant: 3072 pixels along the long side");
    await page.press("Take photo");
    await choose(page, new Uint8Array([1, 2, 3]), page.clock.nowMS + 1000);
    await page.reads("It is still on this phone. Take it again, or choose another.");
    assert.ok(!/Keeping the photo|Resizing/.test(page.words), page.words);
    assert.deepEqual(await page.kept("visit"), []);
  }));

test("the camera in the page is waited for, and when it is refused there are other ways", () =>
  onPage(boot, { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a/again" }, async (page) => {
    await page.reads("Photo of D1", "The camera cannot be shown in this page");
    const lines = () => page.find(".finder svg").length;
    assert.ok(page.isDisabled("Take photo") && page.isPressed("Grid") && lines() === 1);
    await page.press("Grid");
    assert.ok(!page.isPressed("Grid") && lines() === 0);
    await page.press("Gallery");
    await choose(page, jpeg, Date.UTC(2026, 1, 1));
    await page.reads("A picture of D1 from the gallery is not saved yet.");
    assert.equal(page.leads("Say when it was taken"), "#/photo/a");
    await page.press("Discard");
    await page.shows(() => !page.words.includes("not saved yet"), "discarded");
    await page.go("#/photo/other");
    await page.reads("This item is not on this phone.");
  }));
