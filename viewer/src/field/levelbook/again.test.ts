// A row of a level book that is written again: what is asked of it, and where the officer comes
// back to.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";
import { answers, run } from "./level.test.ts";

const on = { observedOn: "2026-03-01" };
const [start, one, two] = run.rows;
const features = {
  r: {
    ...run,
    rows: [
      start,
      one,
      { ...two, feature: "gone", spot: "toe" },
      { point: "Bed at 5 m", is: 0.8, feature: "t", spot: "bed", chainageM: 5 },
      { point: "x", is: 1, feature: "t" },
    ],
  },
  t: { kind: "thalweg", name: "G1", ...on },
  m: { kind: "benchmark", name: "BM9", levelM: 50, ...on },
};
const again = async (page: Page, row: string) => {
  await page.press("Page (5)");
  await page.press(page.presses.find((p) => p.startsWith(row))!);
  await page.press("Strike out and write again");
};
const focused = (page: Page) => page.window.document.activeElement?.textContent ?? "";

test("a row that is written again stands on what it stood on, by the name that it has here", () =>
  onPage(boot, { features, answers, address: "#/level/r" }, async (page) => {
    for (const [row, staff] of [
      ["2 bed 1", "Staff on nothing marked"],
      ["3 bed 2", "Staff on An item not on this phone, toe"],
      ["4 Bed at 5 m", "Staff on G1, bed"],
      ["5 x", "Staff on nothing marked"],
    ] as const) {
      await again(page, row);
      await page.reads(`Row ${row[0]}: `, staff);
      assert.ok(page.isPressed("Intermediate", "Which sight") && !page.isPressed("Foresight", "Which sight"));
      assert.ok(!page.find(".lastrows .point").some((p) => row.endsWith(p.textContent!)), "it is no row booked before");
      assert.equal(page.find(".lastrows .point").length, 2);
      assert.ok(!page.presses.includes("End here"), "the book does not end there");
      await page.press("Keep the old row");
      await page.shows(() => page.isPressed("Page (5)"), "the page");
      assert.ok(focused(page).startsWith(row.replace(" ", "")), "where she was");
      assert.ok(!page.words.includes("written again"), page.words);
    }
  }));

test("what was booked stands below the box that is left empty, and no level is proposed for the row", () =>
  onPage(boot, { features, answers, address: "#/level/r" }, async (page) => {
    await page.reads("Staff on nothing marked");
    assert.ok(!page.words.includes("if left empty"), page.words);
    await again(page, "2 bed 1");
    await page.reads("1.200 if left empty", "Row 2: IS 1.200 is struck out when you book this.");
    await page.press("Name, note, distance, overhead point");
    await page.press("Distance along the route");
    assert.ok(page.inputs.includes("Along the route from its start") && !page.words.includes("proposed"), "nobody proposes nothing");
    await page.press("Foresight", "Which sight");
    await page.press("Staff on nothing marked");
    assert.ok(!page.presses.includes("BM1, known level 100.000"), "nothing is closed by it");
    await page.press("BM9, mark");
    assert.ok(!page.inputs.includes("Level of BM9"), "it was booked without");
    await page.press("1", "Number pad");
    await page.press("Page (5)");
    await page.reads("2 bed 1 IS 1.200 FS 1.000");
    await page.press("Write");
    await page.press("Book");
    await page.shows(() => page.isPressed("Page (6)"), "the page");
    assert.ok(focused(page).startsWith("3bed 1FS 1.000written again"), focused(page));
    await page.press("Undo");
    await page.shows(() => page.presses.includes("Page (5)") && !page.presses.includes("Undo"), "nothing more to take back");
  }));

test("a start is written again as the backsight that it is", () =>
  onPage(boot, { features, answers, address: "#/level/r" }, async (page) => {
    await again(page, "1 BM1");
    await page.reads("Row 1: BS 1.500 known 100.000 is struck out when you book this.");
    assert.equal(page.typed("Level of BM1"), "100");
    assert.ok(!page.presses.includes("Backsight"), "there is no other to choose");
  }));

test("the pad is in sight when a row is taken up on a long page, and stays where it is scrolled to", () =>
  onPage(boot, { features, answers, address: "#/level/r" }, async (page) => {
    await page.reads("Staff on nothing marked");
    const sheet = page.find(".sheet")[0]!;
    sheet.scrollTop = 40;
    await page.press("1", "Number pad");
    assert.equal(sheet.scrollTop, 40);
    sheet.scrollTop = 300;
    await again(page, "2 bed 1");
    await page.shows(() => sheet.scrollTop === 0, "the top of the sheet");
    sheet.scrollTop = 50;
    await page.press("2", "Number pad");
    assert.equal(sheet.scrollTop, 50);
  }));

test("a row is written again only below what it was named, and nothing is undone on a page that is as it was", () =>
  onPage(
    boot,
    {
      features: { r: { ...run, rows: [start, { ...one, struck: true }, two, { ...two, struck: true }, { ...two, struck: true }, one] } },
      answers,
      address: "#/level/r",
    },
    async (page) => {
      await page.press("Page (6)");
      await page.reads("3 bed 2");
      assert.ok(!page.words.includes("written again") && !page.presses.includes("Undo"), page.words);
      await page.press(page.presses.find((p) => p.startsWith("5 bed 2, struck out"))!);
      assert.ok(page.presses.includes("Restore"), "nothing stands in its place");
    },
  ));
