// The camera in the page, and what a picture of the gallery tells of itself.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";
import { choose, dam, jpegOf, withTags } from "./pictures.test.ts";

const given = { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a/again" };

/** Canvases of the phone make JPEGs of their size. */
const withPictures = (page: Page) =>
  Object.assign(page.window.HTMLCanvasElement.prototype, {
    toBlob(this: HTMLCanvasElement, done: (blob: Blob) => void) {
      done(new Blob([jpegOf(this.width, this.height)], { type: "image/jpeg" }));
    },
  });

test("a photo is taken in the page, and the next is matched with it", async () => {
  let running: ReadonlySet<object> = new Set();
  const before = async (page: Page) => {
    running = page.withCamera();
    withPictures(page);
  };
  await onPage(boot, { ...given, before }, async (page) => {
    await page.reads("Photo of D1");
    await page.shows(() => !page.isDisabled("Take photo"), "that the camera sees");
    assert.ok(!page.words.includes("Ghost") && !page.words.includes("Waiting for the camera"), page.words);
    assert.equal(running.size, 1);
    await page.clock.pass(2000);
    assert.ok(!page.words.includes("Waiting for the camera"), page.words);
    await page.stand(146.5, -20.25, 4);
    await page.press("Take photo");
    await page.reads("Photo of D1 saved");
    assert.equal((await page.kept("visit")).length, 1, "recorded before the screen is left");
    assert.notEqual(page.heading, "Photo of D1");
    assert.equal(running.size, 0, "the camera is off");
    const [photo] = await page.kept("visit");
    assert.deepEqual((photo!.fields["geometry"] as { coordinates: number[] }).coordinates, [146.5, -20.25]);
    await page.go("#/photo/a/again", "Match D1");
    await page.reads("Ghost: 1 June 2026. ", "Ghost 50 %");
    assert.ok(!page.words.includes("not on this phone"), page.words);
    const strength = () => (page.find("img.ghost")[0] as HTMLElement).style.opacity;
    assert.equal(strength(), "0.5");
    for (let i = 0; i < 5; i++) await page.press("Ghost fainter");
    await page.reads("Ghost 0 %");
    assert.deepEqual([strength(), page.isDisabled("Ghost fainter"), page.isDisabled("Ghost stronger")], ["0", true, false]);
    for (let i = 0; i < 10; i++) await page.press("Ghost stronger");
    await page.reads("Ghost 100 %");
    assert.deepEqual([strength(), page.isDisabled("Ghost fainter"), page.isDisabled("Ghost stronger")], ["1", false, true]);
  });
});

test("a camera is waited for while the browser asks, and one that comes too late is ended", async () => {
  let allow = () => {};
  const allowed = new Promise<void>((yes) => (allow = yes));
  let running: ReadonlySet<object> = new Set();
  await onPage(boot, { ...given, before: async (page) => (running = page.withCamera(allowed)) }, async (page) => {
    await page.reads("Photo of D1");
    assert.ok(!page.words.includes("Waiting for the camera."));
    await page.clock.pass(1000);
    await page.reads("Waiting for the camera.");
    assert.ok(page.isDisabled("Take photo") && page.presses.includes("Phone's camera"));
    await page.go("#/", "Stony Block");
    allow();
    await page.rest();
    assert.equal(running.size, 0);
  });
  await onPage(boot, { ...given, before: async (page) => page.withCamera(undefined, 0) }, async (page) => {
    await page.reads("Photo of D1");
    await page.rest();
    assert.ok(page.isDisabled("Take photo"), "a camera without a picture");
  });
});

test("an earlier photo that is not on the phone is said not to be, with the way it looked", () => {
  const old = { kind: "visit", of: "a", photos: ["1".repeat(64)], observedOn: "2026-05-03", bearingDeg: 91 };
  return onPage(boot, { ...given, features: { a: dam, v: old } as never }, async (page) => {
    await page.reads("Match D1", "Ghost: 3 May 2026, which is not on this phone. It looked towards 91°.");
    assert.ok(!page.presses.includes("Ghost fainter"));
  });
});

test("what the phone's own camera gave for a photo of this screen leads back", () =>
  onPage(boot, given, async (page) => {
    await page.reads("The camera cannot be shown in this page");
    await page.press("Phone's camera");
    assert.equal(page.address, "#/photo/a/again", "until the photo is there");
    await choose(page, jpegOf(8, 6), page.clock.nowMS + 1000);
    await page.reads("Photo of D1 saved");
    await page.shows(() => page.address !== "#/photo/a/again", "the screen before");
  }));

const south = { north: [20, 15, 0], east: [146, 30, 36] } as const; // 1,045 m east of the dam

test("a picture that tells its day and place is recorded by them, or without", async () => {
  const picture = withTags("2026:03:04 10:22:33", south);
  const opens = { ...given, address: "#/photo/a" };
  const kept = async (page: Page) => {
    await page.press("Save photo");
    await page.reads("Photo of D1 saved");
    const { fields } = (await page.kept("visit"))[0]!;
    return [fields["observedOn"], (fields["geometry"] as { coordinates: number[] } | undefined)?.coordinates];
  };
  await onPage(boot, opens, async (page) => {
    await page.press("Gallery");
    await choose(page, picture, page.clock.nowMS);
    await page.reads("The camera's clock said 4 March 2026.", "Taken 1.0 km from D1, ±5 m.");
    assert.ok(page.isPressed("4 March 2026") && page.isPressed("Keep") && !page.isPressed("Leave out"));
    assert.ok(page.presses.includes("Today"));
    const [on, place] = await kept(page);
    assert.deepEqual([on, place], ["2026-03-04", [146.51, -20.25]]);
  });
  await onPage(boot, opens, async (page) => {
    await page.press("Gallery");
    await choose(page, picture, page.clock.nowMS);
    await page.press("Leave out");
    await page.press("Today");
    assert.deepEqual(await kept(page), ["2026-06-01", undefined]);
  });
  await onPage(boot, opens, async (page) => {
    await page.press("Gallery");
    await choose(page, withTags("2026:06:02 10:22:33"), page.clock.nowMS);
    await page.reads("The camera's clock said 2 June 2026, which is still to come.", "The picture has no position");
    assert.ok(!page.presses.includes("2 June 2026") && !page.presses.includes("Leave out"));
    await page.press("Discard");
    await page.press("Gallery");
    await choose(page, withTags("2026:06:01 08:00:00"), page.clock.nowMS);
    await page.reads("The camera's clock said 1 June 2026.");
    assert.ok(!page.presses.includes("Today"), "its day is today");
    assert.deepEqual(await kept(page), ["2026-06-01", undefined]);
  });
});
