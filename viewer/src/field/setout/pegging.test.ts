// Pegging by the level book: which way to go, what is asked about, and what a peg saves. The
// computations are given by a few lines here; they are tested in package model.

import assert from "node:assert/strict";
import test from "node:test";
import type { Types } from "../../compute/types/index.ts";
import { onPage, type Page } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { reduced } from "../levelbook/level.test.ts";
import { boot } from "../shell/boot.tsx";

export const run = {
  kind: "level-run",
  name: "Run 1",
  observedOn: "2026-03-01",
  instrument: "automatic level",
  rows: [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    { point: "D1", is: 1.3, feature: "d", spot: "toe" },
  ],
};
export const begun = { ...run, rows: run.rows.slice(0, 1) };
const dam = { kind: "check-dam", name: "D1", status: "pegged", observedOn: "2026-03-01", crestHeightM: 0.4 };
const reading = ({ instrumentLevelM, targetLevelM, readM }: Types["staff-reading"]["input"]) => ({
  readingM: instrumentLevelM - targetLevelM,
  ...(readM != null && { levelM: instrumentLevelM - readM, offM: instrumentLevelM - readM - targetLevelM }),
});
export const given = { answers: { "level-run": reduced, "staff-reading": reading } };
export const rowsOf = async (page: Page) =>
  (await page.phone.store.feature("r"))!.fields["rows"] as readonly {
    is?: number;
    feature?: string;
    spot?: string;
    chainageM?: number;
    struck?: boolean;
  }[];

test("the first dam is pegged where the staff stands, with its level and its row in the book", () =>
  onPage(boot, { ...given, features: { r: begun }, address: "#/peg/dams/r" }, async (page) => {
    await page.reads("The first dam", "no crest: the first dam", "Line of sight 101.500", "No position yet: a peg is saved without one.");
    await page.reads("Peg saves Dam 1 as pegged today, no position.", "Read the staff, and key it in.");
    assert.equal(page.heading, "Next dam toe");
    assert.ok(!page.words.includes("Level here"));
    await page.press("Height, silt, gully");
    assert.ok(page.words.includes("Silt behind the dam settles") && !page.words.includes("In no gully"), "there is none to choose");
    assert.ok(!page.words.includes("Strike out the last peg"));
    await page.press("Peg");
    assert.deepEqual(await page.kept("check-dam"), [], "nothing is read yet");
    await page.type("You read", "1.25");
    await page.reads("Level here 100.250", "Peg saves Dam 1 as pegged today, toe 100.250, crest to build to 100.650, no position.");
    const peg = page.find("button").find((button) => button.textContent === "Peg") as HTMLElement;
    peg.click();
    peg.click(); // a thumb that trembles
    await page.reads("pegged, toe at 100.250");
    assert.equal((await page.kept("check-dam")).length, 1);
    const [pegged] = await page.kept("check-dam");
    assert.deepEqual([pegged!.fields["status"], pegged!.fields["geometry"], pegged!.fields["thalweg"]], ["pegged", undefined, undefined]);
    const rows = await rowsOf(page);
    assert.deepEqual([rows.length, rows[1]!.is, rows[1]!.feature, rows[1]!.spot], [2, 1.25, pegged!.id, "toe"]);
    assert.equal(page.typed("You read"), "");
    await page.press("Strike out the last peg");
    await page.shows(async () => (await page.phone.store.feature(pegged!.id))!.struck, "struck out");
    await page.shows(async () => (await rowsOf(page))[1]?.struck === true, "its row too");
  }));

test("the next toe is wanted level with the crest below: up, down and hold are said by the staff", () =>
  onPage(boot, { ...given, features: { r: run, d: dam }, address: "#/peg/dams/r" }, async (page) => {
    await page.reads("From D1, crest 100.600", "Staff 0.900", "(toe and height)");
    const guide = () => page.find("[data-guide]")[0]!.getAttribute("data-guide");
    for (const [read, way] of [
      ["1.2", "up"],
      ["0.6", "down"],
      ["0.9", "hold"],
      ["0.951", "up"],
      ["0.95", "hold"],
      ["0.85", "hold"],
      ["0.849", "down"],
    ] as const) {
      await page.type("You read", read);
      await page.shows(() => guide() === way, `${read}: ${way}`);
      assert.equal(page.words.includes("Up is up the gully"), way === "up");
    }
    await page.type("You read", "0.9");
    await page.reads("toe 100.600, crest to build to 101.000, no position.");
    assert.ok(!page.inputs.some((label) => label.startsWith("Chainage, taped")), "it is taped from the dam below");
    await page.type("Taped up from the toe of D1", "8");
    await page.reads("toe 100.600, crest to build to 101.000, 8 m up from D1, no position.");
    await page.stand(146.5, -20.25, 4);
    await page.reads("Position ±4 m, mean of 1 fix.", "Its height is never a level.", "8 m up from D1, GPS ±4 m.");
    await page.press("Peg");
    await page.reads("Dam 1 pegged, toe at 100.600", "From Dam 1, crest 101.000");
    const second = (await page.kept("check-dam")).find((f) => f.id !== "d")!;
    assert.deepEqual((second.fields["geometry"] as { coordinates: number[] }).coordinates, [146.5, -20.25]);
    assert.equal(second.fields["name"], "Dam 1");
  }));

test("a peg off its level, and one by an old reading, is asked about first", () =>
  onPage(boot, { ...given, features: { r: run, d: dam }, address: "#/peg/dams/r" }, async (page) => {
    await page.type("You read", "1.2");
    await page.press("Peg");
    await page.shows(() => page.told.some((t) => t.includes("D1's crest")), "a question");
    assert.equal((await page.kept("check-dam")).length, 1);
    await page.type("You read", "0.9");
    await page.shows(() => !page.told.some((t) => t.includes("D1's crest")), "no question");
    await page.clock.pass(200_000);
    await page.reads("kept from 09:0");
    await page.press("Peg");
    await page.shows(() => page.find("[role=alert].question").length === 1, "asked about");
    assert.equal((await page.kept("check-dam")).length, 1);
    await page.type("You read", "0.91");
    await page.press("Peg");
    await page.reads("Dam 1 pegged, toe at 100.590");
  }));

test("a reading grows key by key while it is fresh; one of some while ago is told, and the next key replaces it", () =>
  onPage(boot, { ...given, features: { r: run, d: dam }, address: "#/peg/dams/r" }, async (page) => {
    const read = () => page.typed("You read");
    const key = async (keys: string) => {
      for (const k of keys) await page.press(k, "Number pad");
    };
    await page.reads("Staff 0.900");
    await key("09");
    assert.equal(read(), "0.9");
    assert.ok(!page.words.includes("kept from"), "it was keyed now");
    await page.clock.pass(179_000);
    assert.ok(!page.words.includes("kept from"), "three minutes are not over");
    await page.clock.pass(2_000);
    await page.reads("kept from 09:0");
    await key("1");
    assert.equal(read(), "1");
    assert.ok(!page.words.includes("kept from"));
    await key("1");
    assert.equal(read(), "1.1");
    await page.go("#/", "Stony Block");
    await page.go("#/peg/dams/r", "Next dam toe");
    await page.reads("kept from 09:0");
    assert.equal(read(), "1.1");
    await key("0");
    assert.equal(read(), "0");
    await key("9");
    await page.press("Peg");
    await page.reads("Dam 1 pegged, toe at 100.600");
    assert.equal(read(), "");
    assert.ok(!page.words.includes("kept from"));
    await page.go("#/level/r", "Run 1");
    await page.type(page.inputs.find((label) => / on /.test(label))!, "0.9");
    await page.press("Book");
    await page.go("#/peg/dams/r", "Next dam toe");
    await page.shows(async () => (await rowsOf(page)).length === 4, "another row after it");
    await page.press("Strike out the last peg");
    await page.reads("The last peg is struck out");
    assert.ok(!page.presses.includes("Strike out the last peg"));
    assert.deepEqual((await page.kept("check-dam")).map((f) => [f.id === "d", f.struck]).sort(), [
      [false, true],
      [true, false],
    ]);
    assert.deepEqual(
      (await rowsOf(page)).map((r) => r.struck),
      [undefined, undefined, true, undefined],
      "the row of the peg, and no other",
    );
  }));

test("a direct-reading staff shows how much higher the ground is, and the book keeps it turned over", () =>
  onPage(
    boot,
    { ...given, features: { r: { ...begun, instrument: "Laser, direct-reading staff" } }, address: "#/peg/dams/r" },
    async (page) => {
      await page.type("Higher by", "-1.3");
      await page.reads("Level here 100.200");
      await page.press("Peg");
      await page.reads("Dam 1 pegged, toe at 100.200", "Staff −0.900");
      assert.equal((await rowsOf(page))[1]!.is, 1.3);
      await page.type("Higher by", "-1");
      await page.reads("Go up 0.10 m");
    },
  ));

test("which crest a dam starts from is chosen or typed, and how high it will be", () =>
  onPage(boot, { ...given, features: { r: run, d: dam }, address: "#/peg/dams/r" }, async (page) => {
    await page.press(page.presses.find((p) => p.startsWith("From D1"))!);
    const below = ["D1, 100.600", "Type its level", "This is the first dam"];
    const chosen = () => below.filter((one) => page.isPressed(one, "Crest of the dam below"));
    assert.deepEqual(chosen(), ["D1, 100.600"]);
    await page.press("Type its level", "Crest of the dam below");
    assert.ok(!page.presses.includes("Close"), "it is chosen");
    for (const key of ["9", "9"]) await page.press(key, "Number pad");
    assert.equal(page.typed("Level of the crest below"), "99", "the pad types in it");
    await page.type("Level of the crest below", "100.8");
    await page.reads("From the crest typed, crest 100.800", "Staff 0.700");
    await page.press("Height, silt, gully");
    assert.ok(page.isPressed("0.4 m", "Height of the dam to be built") && page.isPressed("level", "Silt behind the dam settles"));
    await page.press("0.5 m", "Height of the dam to be built");
    await page.type("You read", "0.7");
    await page.reads("crest to build to 101.300");
    await page.press(page.presses.find((p) => p.startsWith("From the crest typed"))!);
    assert.deepEqual(chosen(), ["Type its level"]);
    await page.press("This is the first dam", "Crest of the dam below");
    await page.reads("The first dam");
    await page.press(page.presses.find((p) => p.startsWith("From no crest"))!);
    assert.deepEqual(chosen(), ["This is the first dam"]);
    await page.press("Close");
    await page.shows(() => page.inputs.some((l) => l.startsWith("Chainage, taped")), "its chainage");
    assert.ok(!page.inputs.includes("Level of the crest below"));
  }));

test("with no set-up nothing is pegged, and the way to the book is shown", () =>
  onPage(
    boot,
    {
      ...given,
      features: {
        r: {
          ...run,
          rows: [
            { point: "BM1", bs: 1.5, knownLevelM: 100 },
            { point: "TP1", fs: 1.2 },
          ],
        },
      },
      address: "#/peg/dams/r",
    },
    async (page) => {
      await page.shows(() => page.presses.includes("Open the level book"), "the way to the book");
      await page.reads("The last reading was a foresight, so the next must be a backsight: read it in the level book first.");
      assert.equal(page.leads("Open the level book"), "#/level/r");
      assert.ok(!page.presses.includes("Peg"));
      await page.press("The level has not moved: 1.200 on TP1 is its backsight too");
      await page.reads("Line of sight 101.500");
      assert.ok(page.presses.includes("Peg"));
      await page.go("#/peg/dams/n");
      await page.reads("The level is not set up in this book: read a backsight on a point of known level first.");
      assert.ok(!page.presses.some((p) => p.startsWith("The level has not moved")));
      await page.go("#/level/r", "Run 1");
      await page.press(page.presses.find((p) => p.startsWith("Page ("))!);
      await page.press(page.presses.find((p) => p.startsWith("1 BM1"))!);
      await page.press("Strike out and write again");
      await page.go("#/peg/dams/r");
      await page.reads("A row of the book is being written again. In the book, book it or keep the old row first.");
    },
  ));

test("the tasks lead to each way of pegging, with their dangers", () =>
  onPage(boot, { ...given, features: { r: run }, address: "#/peg/with/r" }, async (page) => {
    await page.reads("What do you want to peg?", "Walls: stay off and out from under undercut walls");
    assert.equal(page.leads("Check dams, toe by toe"), "#/peg/dams/r");
    assert.equal(page.leads("A contour: rip line or windrow"), "#/peg/contour/r");
    assert.equal(page.leads("Whoa-boys down a track"), "#/peg/whoa-boys/r");
    assert.equal(page.leads("Back to the level book"), "#/level/r");
  }));

test("the district's own table is typed row by row, checked, and saved for the property", () =>
  onPage(boot, { answers: { "whoa-boys": () => ({ tableSource: "x", banks: [] }) }, address: "#/peg/local-table" }, async (page) => {
    await page.reads("Copy the table used in your district, gentlest grade first.", "The local table has no row yet.");
    assert.ok(page.isDisabled("Save for the property") && page.isDisabled("Another row"), "there is room in the one that is empty");
    assert.ok(!page.words.includes("On this phone only"));
    const boxes = () => page.find("fieldset.spacings input");
    const types = async (...texts: readonly string[]) => {
      for (const [i, text] of texts.entries()) {
        page.enter(boxes()[i]!, text);
        await page.rest();
      }
    };
    await types("5", "");
    await page.reads("Row 1 cannot be used yet.", "Missing.");
    assert.equal(page.find("fieldset.spacings [aria-invalid=true]").length, 1);
    assert.equal(page.find("fieldset.spacings [aria-invalid=true]")[0], boxes()[1]);
    await types("x", "60");
    assert.equal(page.find("fieldset.spacings [aria-invalid=true]")[0], boxes()[0]);
    await types("5", "60");
    await page.reads("The row covers grades up to 5 %; no spacing is given for steeper ground.");
    await page.reads("On this phone only until it is saved for the property.");
    await page.press("Another row");
    await types("5", "60", "8", "40");
    await page.reads("The 2 rows cover grades up to 8 %");
    assert.deepEqual(await page.kept("property-settings"), []);
    await page.go("#/peg/spacing", "Spacing table");
    await page.reads("A local table was entered on this phone and is not saved for the property yet.");
    await page.go("#/peg/local-table", "Local table");
    await page.reads("The 2 rows cover grades up to 8 %", "On this phone only");
    await page.type("Who the table comes from", "Shire sheet 4");
    await page.press("Save for the property");
    await page.reads("Local table saved for Stony Block");
    const [settings] = await page.phone.store.features(property);
    assert.deepEqual(
      [settings!.fields["whoaBoyTable"], settings!.fields["whoaBoyRows"], settings!.fields["whoaBoySource"]],
      [
        "local",
        [
          { upToPct: 5, spacingM: 60 },
          { upToPct: 8, spacingM: 40 },
        ],
        "Shire sheet 4",
      ],
    );
    await page.go("#/peg/spacing", "Spacing table");
    await page.reads("2 rows, Shire sheet 4.", "Rows of the local table");
    assert.ok(!page.words.includes("is not saved for the property yet"), page.words);
    await page.press("Whoa-boys, one column for all soils, Southern Regional Extension Forestry");
    await page.press("Save for the property");
    await page.reads("Spacing table saved for Stony Block");
    await page.go("#/peg/local-table", "Local table");
    await page.reads("The 2 rows cover grades up to 8 %");
    assert.deepEqual(
      boxes().map((b) => (b as HTMLInputElement).value),
      ["5", "60", "8", "40"],
      "the rows stay",
    );
    assert.ok(!page.words.includes("On this phone only"));
    await page.go("#/peg/spacing", "Spacing table");
    await page.press("The local table, your own, for this property");
    await page.press("Save for the property");
    await page.shows(
      async () => (await page.phone.store.features(property))[0]!.fields["whoaBoyTable"] === "local",
      "the local table chosen again",
    );
    assert.equal((await page.phone.store.features(property)).length, 1, "settings are one thing");
  }));
