// One photo after the other, with their day, who says it, and which way they look.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";

const sha = (c: string) => c.repeat(64);
const photo = (c: string, more: object) => ({ kind: "visit", of: "a", photos: [sha(c)], ...more });
const features = {
  a: { kind: "check-dam", name: "D1", status: "built", observedOn: "2026-03-01" },
  x: photo("1", { observedOn: "2026-05-03", bearingDeg: 91.4 }),
  y: photo("2", { observedOn: "2026-04-02", picture: { from: "gallery" } }),
  z: photo("3", { observedOn: "2026-03-04", picture: { from: "gallery", takenAt: "2026-03-04T10:00:00" } }),
  w: photo("4", { picture: { from: "gallery" } }),
};

test("photos are gone through from the newest to the oldest, each with what is known of it", () =>
  onPage(boot, { features, address: `#/photo/a/${sha("1")}` }, async (page) => {
    await page.reads("3 May 2026, looking east (91°)");
    assert.ok(!page.presses.includes("Edit day") && page.isDisabled("Later") && !page.isDisabled("Earlier"));
    assert.deepEqual(page.images, ["Photo of D1, 1 of 4"]);
    await page.press("Earlier");
    await page.reads("2 April 2026 (entered by hand)");
    assert.equal(page.leads("Edit day"), "#/thing/y/edit");
    assert.ok(!page.isDisabled("Later") && !page.words.includes("looking"));
    await page.press("Earlier");
    await page.reads("4 March 2026 (by the camera's clock)");
    await page.press("Earlier");
    await page.reads("Day not known");
    assert.ok(page.isDisabled("Earlier") && !page.words.includes("("), page.words);
    assert.equal(page.address, `#/photo/a/${sha("4")}`);
    await page.press("Later");
    assert.equal(page.address, `#/photo/a/${sha("3")}`);
    await page.reads("Not on this phone");
    await page.go("#/photo/a", "Photos of D1");
    await page.reads("3 May 2026, looking east", "Day not known");
    assert.ok(page.presses.includes("Match the last") && !page.words.includes("No photos yet."));
    await page.go("#/", "Stony Block");
    await page.reads("Today: 5 entries");
  }));

test("a photo of the gallery that is the only one has its day to edit, and none beside it", () =>
  onPage(boot, { features: { a: features.a, y: features.y }, address: `#/photo/a/${sha("2")}` }, async (page) => {
    await page.reads("2 April 2026 (entered by hand)");
    assert.equal(page.leads("Edit day"), "#/thing/y/edit");
    assert.ok(!page.words.includes("Earlier") && !page.words.includes("Later"), page.words);
  }));
