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
      await page.reads("went to this phone's downloads. Check that it is there. Give it to the office");
      assert.equal(page.downloads.length, 1);
      assert.deepEqual(main(), ["Open the page again"]);
    },
  ));

test("a file that cannot be made is said to be so, and one that was thought better of", () =>
  onPage(
    rescuing,
    {
      quotaBytes: 2 ** 40,
      before: async ({ phone, clock }) => {
        await phone.store.capture(property, [{ set: { kind: "peg" }, photo: { bytes: new ArrayBuffer(2), takenFor: "" } }]);
        await clock.pass(10_000);
      },
    },
    async (page) => {
      await page.reads("1 entry and 1 photo that are not sent yet can be read.");
      let share = async () => {
        throw new DOMException("closed", "AbortError");
      };
      Object.assign(page.navigator, { canShare: () => true, share: () => share() });
      await page.press("Save to a file");
      await page.reads("No file was saved.");
      share = async () => undefined as never;
      await page.press("Save to a file");
      await page.reads("was passed to the app you chose. Give it to the office");
      assert.ok(!page.words.includes("The browser does not give out"), page.words);
      Object.assign(page.navigator, {
        canShare: () => {
          throw new Error("no memory");
        },
      });
      await page.press("Save to a file");
      await page.reads("The browser does not give out what is on this phone.", "(Error: no memory)");
      assert.deepEqual(page.downloads, []);
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
      await page.reads("The browser does not give out what is on this phone.", "(Error: it is broken)", "Do not clear the browser's data");
      assert.ok(!page.words.includes("Reading what is on this phone") && !page.presses.includes("Save to a file"), page.words);
    },
  ));
