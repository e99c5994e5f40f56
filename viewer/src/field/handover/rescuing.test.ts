// The page that saves what can be read when the store does not open.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { rescue } from "./rescuing.tsx";

const rescuing = (root: HTMLElement) => rescue(root);

test("what can be read is counted, and saved to a file", () =>
  onPage(
    rescuing,
    {
      before: async ({ phone, clock }) => {
        await phone.store.capture(property, [{ set: { kind: "peg" } }, { set: { kind: "peg" } }]);
        await clock.pass(10_000);
      },
    },
    async (page) => {
      await page.reads("Save what can be read", "2 entries and 0 photos that are not sent yet can be read.");
      const main = () => page.find("button.b-main").map((b) => b.textContent);
      assert.deepEqual(main(), ["Save to a file"]);
      assert.ok(!page.words.includes("cannot be read"), page.words);
      await page.press("Save to a file");
      await page.reads("went to this phone’s downloads. Check that it is there. Give it to the office");
      assert.equal(page.downloads.length, 1);
      assert.deepEqual(main(), ["Open the page again"]);
    },
  ));

test("where all is sent there is nothing to save", () =>
  onPage(rescuing, {}, async (page) => {
    await page.reads("Everything that can be read is sent.");
    assert.ok(!page.presses.includes("Save to a file"));
  }));

test("a database that gives nothing is said to, with what to do", () =>
  onPage(
    rescuing,
    {
      before: async () => {
        const open = () => {
          throw new Error("it is broken");
        };
        Object.assign(globalThis, { indexedDB: { open, databases: async () => [] } });
      },
    },
    async (page) => {
      await page.shows(() => /does not give out|can be read is sent|can be read/.test(page.words), "what came of it");
      assert.ok(page.words.includes("Do not clear the browser’s data"));
    },
  ));
