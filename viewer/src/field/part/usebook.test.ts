// A level book whose page goes out of sight: phones end such pages without a word.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { begun, given, rowsOf } from "../setout/pegging.test.ts";
import { boot } from "../shell/boot.tsx";

test("what was booked is saved when the page goes out of sight", () =>
  onPage(boot, { ...given, features: { r: begun }, address: "#/level/r" }, async (page) => {
    await page.shows(() => page.inputs.some((label) => / on /.test(label)), "the pad");
    await page.type(page.inputs.find((label) => / on /.test(label))!, "1.1");
    await page.press("Book");
    await page.seen(true);
    assert.equal((await rowsOf(page)).length, 1, "more rows may follow");
    await page.seen(false);
    await page.shows(async () => (await rowsOf(page)).length === 2, "the row in the register");
  }));
