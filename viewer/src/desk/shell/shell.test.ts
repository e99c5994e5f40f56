// The desk page as a whole: which screen opens, what is brought back, what is said above all.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property, self } from "../../storage/phone.test.ts";
import { boot } from "./boot.tsx";

const peg = { kind: "peg", name: "P1", observedOn: "2026-03-01" };
const tab = (page: { readonly window: { readonly document: { readonly title: string } } }) => page.window.document.title;

test("an address without a screen opens the properties, and one of a property its items, under their names", () =>
  onPage(boot, { address: "", features: { a: peg } }, async (page) => {
    await page.reads("Properties", "Add a property by a code", "R. Field");
    assert.equal(tab(page), "Properties – Headcut at the desk");
    await page.press("Stony Block");
    await page.reads("1 item", "Last entry 09:00");
    assert.equal(tab(page), "Stony Block – Headcut at the desk");
    assert.ok(!page.words.includes("The map could not be loaded"), page.words);
    assert.ok(!page.presses.includes("Enrol again") && !page.presses.includes("Update"), page.presses.join());
    await page.go("#/property/other");
    assert.equal(tab(page), "Property – Headcut at the desk");
    await page.go("");
    await page.reads("Add a property by a code");
  }));

test("what the browser lost comes back at a tap, and leads to the properties", () =>
  onPage(
    boot,
    {
      features: { a: peg },
      address: `#/property/${property}`,
      before: async ({ phone, clock }) => {
        await clock.pass(60_000);
        phone.loseDatabase();
        await phone.open();
      },
    },
    async (page) => {
      await page.reads("The browser has lost this phone's entries");
      await page.press("Bring it back");
      await page.shows(() => page.heading === "Properties" && page.address === "#/", "the properties");
      await page.shows(() => page.lines("1 property").some((l) => l.startsWith("Stony Block 1 ")), "its item");
    },
  ));

test("a property that is part of another now is left for it, and that is said until another screen opens", () =>
  onPage(boot, { self: self("d1", { id: "lower", name: "Lower Flat" }), address: `#/property/${property}` }, async (page) => {
    await page.reads("Stony Block", "Nothing recorded yet");
    await page.phone.store.outbox.told(
      [
        { id: property, name: "Stony Block", into: "lower" },
        { id: "lower", name: "Lower Flat" },
      ],
      true,
    );
    await page.reads("Stony Block is part of Lower Flat now");
    assert.deepEqual([page.heading, page.address], ["Lower Flat", "#/property/lower"]);
    await page.press("Properties");
    await page.shows(() => !page.words.includes("is part of Lower Flat now"), "no more of that");
    await page.go(`#/property/${property}/x`);
    await page.shows(() => page.address === "#/property/lower/x" && page.heading === "Lower Flat", "an old address leads there too");
  }));
