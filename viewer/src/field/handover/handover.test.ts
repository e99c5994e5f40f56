// What is not sent, saved to a file: how much, whether it was saved, and what is new since.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { self } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";

const peg = (name: string) => ({ kind: "peg", name, observedOn: "2026-03-01" });

test("what is not sent goes to a file, and what is recorded after it is told", () =>
  onPage(boot, { features: { a: peg("P1"), b: peg("P2") }, address: "#/handover" }, async (page) => {
    await page.reads("2 entries and 0 photos are not sent yet.");
    assert.ok(
      !page.words.includes("of all properties") && !page.words.includes("Last file") && !page.words.includes("refused"),
      page.words,
    );
    await page.press("Save to a file");
    await page.reads("went to this phone's downloads. Check that it is there.", "Everything not sent yet is in it.");
    assert.equal(page.downloads.length, 1);
    assert.equal(page.downloads[0], "headcut-r-field-2026-06-01-0900.tar");
    await page.phone.store.capture("stony-block", [{ set: peg("P3") }]);
    await page.reads("3 entries", "Since then: 1 entry, 0 photos.");
  }));

test("a file that was thought better of is none, and one that was passed on is remembered", () =>
  onPage(boot, { quotaBytes: 2 ** 40, address: "#/handover" }, async (page) => {
    await page.phone.store.capture("stony-block", [{ set: peg("P1"), photo: { bytes: new ArrayBuffer(2000), takenFor: "" } }]);
    await page.reads("1 entry and 1 photo (2 kB) are not sent yet.");
    let share = async () => {
      throw new DOMException("closed", "AbortError");
    };
    Object.assign(page.navigator, { canShare: () => true, share: () => share() });
    await page.press("Save to a file");
    await page.reads("No file was saved.");
    assert.ok(!page.words.includes("Last file"), page.words);
    let chosen = () => {};
    share = () => new Promise<never>((go) => (chosen = go as () => void));
    await page.press("Save to a file");
    await page.reads("Writing the file…");
    assert.ok(page.isDisabled("Writing the file…"));
    chosen();
    await page.reads("was passed to the app you chose.", "Everything not sent yet is in it.");
    await page.phone.store.capture("stony-block", [{ feature: "x", photo: { bytes: new ArrayBuffer(3), takenFor: "x" } }]);
    await page.reads("Since then: 1 entry, 1 photo.");
    assert.ok(!page.words.includes("The file could not be written"), page.words);
  }));

test("entries of several properties, and those that were refused, go along", () =>
  onPage(
    boot,
    { self: self("d1", { id: "lower", name: "Lower Flat" }), features: { a: peg("P1") }, address: "#/handover" },
    async (page) => {
      await page.reads("of all properties on this phone, are not sent yet.");
      const [entry] = await page.entries("a");
      await page.phone.store.outbox.settle("stony-block", [{ id: entry!.id, refused: "The name is too long.", highSeq: 0 }]);
      await page.reads("The 1 entry that the server refused goes into the file too.");
      assert.ok(!page.isDisabled("Save to a file"));
      await page.phone.store.capture("lower", [{ set: peg("P2") }]);
      await page.reads("1 entry and 0 photos, of all properties on this phone, are not sent yet. The 1 entry that the server refused");
    },
  ));

test("where all is sent there is nothing to save", async () => {
  await onPage(boot, { address: "#/handover" }, async (page) => {
    await page.reads("Everything recorded on this phone is sent. There is nothing to save.");
    assert.ok(page.isDisabled("Save to a file"));
  });
  await onPage(boot, { self: self("d1", { id: "lower", name: "Lower Flat" }), address: "#/handover" }, (page) =>
    page.reads("Everything recorded on this phone, of all properties, is sent."),
  );
});

test("a file that cannot be written loses nothing, and it is said", () =>
  onPage(boot, { features: { a: peg("P1") }, address: "#/handover" }, async (page) => {
    await page.reads("1 entry");
    const { all } = page.phone.store.outbox;
    Object.assign(page.phone.store.outbox, { all: () => Promise.reject(new Error("the disk is full")) });
    await page.press("Save to a file");
    await page.reads("The file could not be written.", "Nothing is lost", "the disk is full");
    assert.deepEqual(page.downloads, []);
    assert.ok(page.presses.includes("Save what can be read") && !page.isDisabled("Save to a file"));
    Object.assign(page.phone.store.outbox, { all });
    await page.press("Save to a file");
    await page.reads("went to this phone's downloads.");
    assert.ok(!page.words.includes("The file could not be written."), page.words);
  }));
