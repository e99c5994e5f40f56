// A property that the office merged into another is left for it, once nothing is unfinished on it.

import assert from "node:assert/strict";
import test from "node:test";
import { boot } from "../field/shell/boot.tsx";
import { property, self } from "../storage/phone.test.ts";
import { onPage, type Page } from "./page.test.ts";

const merge = (page: Page) =>
  page.phone.store.outbox.told(
    [
      { id: property, name: "Stony Block", into: "lower" },
      { id: "lower", name: "Lower Flat" },
    ],
    true,
  );
const both = { self: self("d1", { id: "lower", name: "Lower Flat" }) };

test("the page goes on with what the property is part of, and says so", () =>
  onPage(boot, both, async (page) => {
    await page.phone.store.openProperty(property);
    await page.shows(() => page.heading === "Stony Block", "it is open");
    await merge(page);
    await page.reads("Stony Block is part of Lower Flat now");
    await page.shows(() => page.heading === "Lower Flat", "the other");
  }));

test("what is begun on it is finished there first", () =>
  onPage(boot, both, async (page) => {
    await page.phone.store.openProperty(property);
    await page.phone.store.keepDraft(`form/${property}/peg`, { name: "P1" });
    await merge(page);
    await page.clock.pass(3000);
    assert.equal(page.heading, "Stony Block");
    await page.phone.store.dropDraft(`form/${property}/peg`);
    await page.phone.store.capture("lower", [{ set: { kind: "peg", observedOn: "2026-03-01" } }]);
    await page.reads("Stony Block is part of Lower Flat now");
  }));

test("a property that is no longer this phone's is left for one that is", () =>
  onPage(boot, both, async (page) => {
    await page.phone.store.openProperty(property);
    await page.phone.store.outbox.told([{ id: property, name: "Stony Hill" }], false);
    await page.shows(() => page.heading === "Stony Hill", "its new name");
  }));
