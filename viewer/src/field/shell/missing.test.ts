// What the page does when a save or a screen cannot be had: it says so, and what is there stays.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { boot } from "./boot.tsx";
import { screens } from "./screens.ts";

const features = { a: { kind: "peg", name: "P1", observedOn: "2026-03-01" } };

test("an undo that cannot be saved is said, and may be tried again", () =>
  onPage(boot, { features, address: "#/thing/a" }, async (page) => {
    await page.press("Strike out");
    await page.reads("P1 struck out");
    const { store } = page.phone;
    const { history } = store;
    Object.assign(store, { history: () => Promise.reject(new Error("no room")) });
    await page.press("Undo");
    await page.shows(() => !page.words.includes("P1 struck out"), "what went wrong");
    assert.ok(!page.words.includes("Undone"), page.words);
    Object.assign(store, { history });
    assert.equal((await page.phone.store.feature("a"))?.struck, true);
    await page.press("Restore");
    await page.reads("P1 restored");
    await page.press("Undo");
    await page.reads("Undone");
  }));

test("a screen that is not on the phone is said not to be, with the way to today", async () => {
  const row = screens.find((s) => s.route === "#/visit")!;
  const { load } = row;
  Object.assign(row, { load: () => Promise.reject(new Error("no signal")) });
  try {
    await onPage(boot, { features }, async (page) => {
      await page.go("#/visit", "Visit");
      await page.reads("This screen is not on the phone yet.");
      assert.ok(!page.presses.includes("Open again"));
      await page.press("Back to today");
      await page.reads("Today: 1 entry");
    });
  } finally {
    Object.assign(row, { load });
  }
});
