// The list of level books: which there are, and which is being written.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { newBook } from "../../survey/levelbook/book.ts";
import { keepBook, setOpenBook } from "../../survey/levelbook/drafts.ts";
import { boot } from "../shell/boot.tsx";
import { answers, run } from "./level.test.ts";

test("books are listed with how much is in them; struck ones are not", () =>
  onPage(boot, { features: { r: run, s: { ...run, name: "Run 2" } }, answers, address: "#/level" }, async (page) => {
    await page.reads("Run 1 3 rows, 1 March 2026, not sent yet", "Run 2");
    await page.phone.store.capture("stony-block", [{ feature: "s", strike: true }]);
    await page.shows(() => !page.words.includes("Run 2"), "the struck one gone");
    await page.press("Run 1 3 rows, 1 March 2026, not sent yet");
    await page.shows(() => page.heading === "Run 1", "the book");
  }));

test("a book that the server has is not said to wait, and the one that is written in comes first", () =>
  onPage(boot, { features: { r: run, s: { ...run, name: "Run 2" } }, answers, address: "#/level" }, async (page) => {
    await page.reads("Run 2 3 rows, 1 March 2026, not sent yet");
    const receipts = [...(await page.entries("r")), ...(await page.entries("s"))].map(({ id }) => ({ id, highSeq: 0 }));
    await page.phone.store.outbox.settle("stony-block", receipts);
    const books = () => page.presses.filter((p) => p.startsWith("Run "));
    await page.shows(() => books().every((p) => p.endsWith("1 March 2026")), "only what they are");
    const [, second] = books();
    await page.press(second!);
    await page.type(page.inputs.find((l) => / on /.test(l))!, "1.1");
    await page.go("#/level", "Level");
    await page.shows(() => books()[0]!.startsWith(second!.slice(0, 5)), "the open book first");
    assert.match(books()[0]!, /, open/);
    assert.ok(!books()[1]!.includes("open"));
  }));

test("with no book it is said how to begin", () =>
  onPage(boot, { answers, address: "#/peg" }, async (page) => {
    await page.reads("Pegging goes by a level and a staff, never by GPS heights.", "No level book yet.");
    assert.ok(page.presses.includes("New level book"));
  }));

const begun = async ({ phone }: Page) => {
  await keepBook(phone.store, { ...newBook("n", "Run 7", "2026-03-02"), rows: run.rows });
  await setOpenBook(phone.store, property, "n");
};
const goOn = "Continue the book begun on this phone";

test("a book that only this phone has is gone on with, to write in it or to peg by it", async () => {
  for (const [features, address, to] of [
    [{ r: run }, "#/level", "#/level/n"],
    [{}, "#/level", "#/level/n"],
    [{}, "#/peg", "#/peg/with/n"],
  ] as const)
    await onPage(boot, { features, answers, address, before: begun }, async (page) => {
      await page.reads(goOn);
      assert.ok(!page.words.includes("No level book yet."), page.words);
      assert.equal(page.presses.filter((p) => p.startsWith("Run ")).length, Object.keys(features).length);
      assert.ok(!page.words.includes(", open"), "the other book is not");
      await page.press(goOn);
      await page.shows(() => page.address === to, to);
    });
});

test("a book from elsewhere is listed with what is known of it, and nothing is begun where the open one is listed", () => {
  const { kind, rows } = run;
  const struck = { ...rows[2], struck: true };
  const before = async ({ phone }: Page) => setOpenBook(phone.store, property, "r");
  return onPage(boot, { features: { r: { kind, rows: [rows[0], struck] } }, answers, address: "#/peg", before }, async (page) => {
    const name = "Level run 2 rows (1 struck out), open, not sent yet";
    await page.reads(name);
    assert.ok(!page.words.includes(goOn), page.words);
    await page.press(name);
    await page.shows(() => page.address === "#/peg/with/r", "pegging by it");
    await page.go("#/peg", "Peg out");
    await page.press("New level book");
    await page.shows(() => /^#\/level\/./.test(page.address), "a book to write in first");
  });
});
