// What stands in place of the screens: the store does not open, or has lost what was recorded.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { boot } from "../field/shell/boot.tsx";
import { copiedWords, Lost } from "./lost.tsx";
import { drawn, onPage } from "./page.test.ts";

const peg = { kind: "peg", name: "P1", observedOn: "2026-03-01" };

test("what the browser lost and a copy has comes back at a tap, and is said", () =>
  onPage(
    boot,
    {
      features: { a: peg, b: { ...peg, name: "P2" } },
      before: async ({ phone, clock }) => {
        await phone.store.keepDraft("visit/x", { of: "a" });
        await clock.pass(60_000);
        phone.loseDatabase();
        await phone.open();
      },
    },
    async (page) => {
      await page.reads("The browser has lost this phone's entries", "There is a second copy of what was not sent: 2 entries");
      await page.reads("Then check today's list.");
      const { store } = page.phone;
      let fail: (why: Error) => void = () => {};
      Object.assign(store, { bringBack: () => new Promise((_, no) => (fail = no)) });
      await page.press("Bring it back");
      await page.reads("Bringing it back… Leave the page open.");
      assert.ok(page.isDisabled("Bring it back"));
      fail(new Error("it is broken"));
      await page.reads("(Error: it is broken)", "There is a second copy of what was not sent: 2 entries", "Enrol this phone again");
      await page.press("Bring it back");
      await page.reads("Bringing it back…");
      assert.ok(!page.words.includes("it is broken") && !page.presses.includes("Enrol this phone again"), page.words);
      fail(new Error("it is broken again"));
      await page.reads("(Error: it is broken again)");
      Reflect.deleteProperty(store, "bringBack");
      await page.press("Bring it back");
      await page.reads("Brought back: 2 entries", "2 not sent yet");
      assert.equal(page.heading, "Stony Block");
      assert.equal((await page.kept("peg")).length, 2);
    },
  ));

test("of a copy what there is of it is named", () => {
  for (const [entries, photos, drafts, words] of [
    [2, 0, 0, "2 entries"],
    [1, 1, 0, "1 entry and 1 photo"],
    [0, 0, 1, "0 entries and unfinished work"],
    [12, 3, 2, "12 entries, 3 photos and unfinished work"],
  ] as const)
    assert.equal(copiedWords({ entries, photos, drafts } as Parameters<typeof copiedWords>[0]), words);
});

test("of a copy that holds nothing nothing is to be checked, and of any other its parts are named", () =>
  drawn(h("p", null, "before"), async (page) => {
    for (const [entries, photos, drafts] of [
      [0, 0, 0],
      [1, 0, 0],
      [1, 1, 0],
      [1, 0, 1],
      [0, 1, 1],
    ] as const) {
      await page.draw(h(Lost, { copied: { entries, photos, drafts }, back: async () => {} }));
      const some = entries + photos + drafts > 0;
      assert.equal(page.words.includes("There is a second copy of what was not sent"), some);
      assert.equal(page.words.includes("Nothing was waiting to be sent."), !some);
      assert.equal(page.words.includes("Then check today's list."), some);
    }
  }));

test("a store that does not open stops the page, and says what to do", () =>
  onPage(
    boot,
    {
      before: async ({ phone }) => {
        Object.defineProperty(phone, "store", {
          get: () => {
            throw new Error("it is broken");
          },
        });
      },
    },
    async (page) => {
      await page.reads("Nothing can be recorded now", "What was recorded is still on this phone.");
      assert.ok(page.presses.includes("Save what can be read") && page.presses.includes("Open again"));
    },
  ));
