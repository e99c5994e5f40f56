// The form of what was just saved: what its save confirms, what going back keeps, and the parts
// of a recording that was split.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";

const on = { observedOn: "2026-03-01" };
const features = {
  last: { kind: "check-dam", name: "D1", material: "loose rock", ...on },
  n: { kind: "check-dam", ...on },
};
const carried = "From the last check dam. Saving confirms it here.";

test("what was carried over is saved by a save, and by going back nothing that nobody typed", () =>
  onPage(boot, { features, address: "#/thing/n/fill" }, async (page) => {
    await page.reads(carried, "Saved, recorded on 1 March 2026. Add what you know.");
    assert.ok(!page.words.includes("Part "), page.words);
    await page.press("Back");
    await page.shows(() => page.address === "#/thing/n", "the item");
    assert.equal((await page.entries("n")).length, 1);
    await page.go("#/thing/n/fill", "Check dam");
    await page.press("More about it");
    await page.type("Name", "D2");
    await page.press("Back");
    await page.reads("Check dam: details saved");
    assert.deepEqual((await page.entries("n"))[1]!.set, { name: "D2" });
    await page.go("#/", "Stony Block");
    assert.ok(!page.words.includes("You were filling in"), page.words);
    await page.go("#/thing/n/fill", "Check dam");
    await page.reads(carried);
    await page.press("Save");
    await page.shows(() => page.address === "#/thing/n", "the item");
    const saved = (await page.entries("n"))[2]!;
    assert.deepEqual([saved.set, saved.strike], [{ material: "loose rock" }, undefined]);
  }));

test("an item that was struck out while its form was open is restored by a save alone", () =>
  onPage(boot, { features, address: "#/thing/n/fill" }, async (page) => {
    const isStruck = async () => (await page.phone.store.feature("n"))!.struck;
    await page.reads(carried);
    await page.phone.store.capture(property, [{ feature: "n", strike: true }]);
    await page.reads("This item was struck out while the form was open.");
    await page.press("More about it");
    await page.type("Name", "D2");
    await page.press("Back");
    await page.reads("Check dam: details saved, still struck out");
    assert.equal(await isStruck(), true);
    await page.go("#/thing/n/fill", "Check dam");
    await page.press("Restore and save");
    await page.reads("Check dam: restored, details saved");
    assert.equal(await isStruck(), false);
  }));

test("the parts of a recording follow each other, each told by its length where it is a line", () => {
  const coordinates = [0, 20, 43].map((m) => [146.5, -20.25 + m / 110_700]);
  const fence = { kind: "fence", ...on };
  const parts = { a: { ...fence, geometry: { type: "LineString", coordinates } }, b: fence };
  return onPage(boot, { features: parts, address: "#/thing/a/fill/a,b" }, async (page) => {
    await page.reads("Part 1 of 2, 43 m long. Saved, recorded on 1 March 2026.");
    await page.press("Save");
    await page.reads("Part 2 of 2. Saved, recorded on 1 March 2026.");
    await page.press("Save");
    await page.shows(() => page.address === "#/thing/b", "the last of them");
  });
});
