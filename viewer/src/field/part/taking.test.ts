// A photo that did not come back from the camera, taken again, and one that the phone cannot keep.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { full } from "../../storage/errors.ts";
import { boot } from "../shell/boot.tsx";
import { choose, dam, jpegOf } from "../photo/pictures.test.ts";

const given = { quotaBytes: 2 ** 40, features: { a: dam }, address: "#/photo/a" };

test("a photo that is taken again stands where it is taken then", () =>
  onPage(boot, given, async (page) => {
    await page.stand(146.5, -20.25, 4);
    await page.press("Take photo");
    await page.go("#/", "Stony Block");
    await page.clock.pass(60_000);
    await page.stand(146.6, -20.25, 4);
    await page.reads("The photo of D1 did not come back from the camera at 09:0");
    await page.press("Take it again");
    await choose(page, jpegOf(8, 6), page.clock.nowMS + 1000);
    await page.reads("Photo of D1 saved");
    const place = (await page.kept("visit"))[0]!.fields["geometry"] as { coordinates: number[] } | undefined;
    assert.deepEqual(place?.coordinates, [146.6, -20.25]);
  }));

test("no camera is opened for a photo that the phone could not keep", () =>
  onPage(boot, given, async (page) => {
    await page.reads("No photos yet.");
    Object.assign(page.phone.store, { keepDrafts: () => Promise.reject(full()) });
    await page.press("Take photo");
    await page.reads("The phone's storage is full");
    assert.equal(page.chooser, undefined);
  }));
