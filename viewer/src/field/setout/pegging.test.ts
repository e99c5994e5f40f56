// Pegging by the level book: which way to go, what is asked about, and what a peg saves. The
// computations are given by a few lines here; they are tested in package model.

import assert from "node:assert/strict";
import test from "node:test";
import type { Types } from "../../compute/types/index.ts";
import { onPage, type Page } from "../../device/page.test.ts";
import { full } from "../../storage/errors.ts";
import { property } from "../../storage/phone.test.ts";
import { reduced } from "../levelbook/level.test.ts";
import { boot } from "../shell/boot.tsx";

const run = {
  kind: "level-run",
  name: "Run 1",
  observedOn: "2026-03-01",
  instrument: "automatic level",
  rows: [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    { point: "D1", is: 1.3, feature: "d", spot: "toe" },
  ],
};
const begun = { ...run, rows: run.rows.slice(0, 1) };
const dam = { kind: "check-dam", name: "D1", status: "pegged", observedOn: "2026-03-01", crestHeightM: 0.4 };
const reading = ({ instrumentLevelM, targetLevelM, readM }: Types["staff-reading"]["input"]) => ({
  readingM: instrumentLevelM - targetLevelM,
  ...(readM != null && { levelM: instrumentLevelM - readM, offM: instrumentLevelM - readM - targetLevelM }),
});
const given = { answers: { "level-run": reduced, "staff-reading": reading } };
const rowsOf = async (page: Page) =>
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
    assert.equal(page.heading, "Next dam toe");
    assert.ok(!page.words.includes("Strike out the last peg"));
    await page.press("Peg");
    assert.deepEqual(await page.kept("check-dam"), [], "nothing is read yet");
    await page.type("You read", "1.25");
    await page.reads("Level here 100.250", "crest to build to 100.650", "Peg saves", "no position.");
    await page.press("Peg");
    await page.reads("pegged, toe at 100.250");
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
    }
    await page.type("You read", "0.9");
    await page.reads("toe 100.600");
    await page.type("Taped up from the toe of D1", "8");
    await page.reads("8 m up from D1");
    await page.stand(146.5, -20.25, 4);
    await page.reads("Position ±4 m, mean of 1 fix.", "Its height is never a level.");
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
    await page.go("#/", "Stony Block");
    await page.go("#/peg/dams/r", "Next dam toe");
    await page.press("Strike out the last peg");
    await page.reads("The last peg is struck out");
    assert.ok(!page.presses.includes("Strike out the last peg"));
    assert.deepEqual((await page.kept("check-dam")).map((f) => [f.id === "d", f.struck]).sort(), [
      [false, true],
      [true, false],
    ]);
    assert.deepEqual(
      (await rowsOf(page)).map((r) => r.struck),
      [undefined, undefined, true],
      "the row of the peg, and no other",
    );
  }));

test("which crest a dam starts from is chosen or typed, and how high it will be", () =>
  onPage(boot, { ...given, features: { r: run, d: dam }, address: "#/peg/dams/r" }, async (page) => {
    await page.press(page.presses.find((p) => p.startsWith("From D1"))!);
    await page.press("Type its level", "Crest of the dam below");
    await page.type("Level of the crest below", "100.8");
    await page.reads("From the crest typed, crest 100.800", "Staff 0.700");
    await page.press("Height, silt, gully");
    assert.ok(page.isPressed("0.4 m", "Height of the dam to be built") && page.isPressed("level", "Silt behind the dam settles"));
    await page.press("0.5 m", "Height of the dam to be built");
    await page.type("You read", "0.7");
    await page.reads("crest to build to 101.300");
    await page.press(page.presses.find((p) => p.startsWith("From the crest typed"))!);
    await page.press("This is the first dam", "Crest of the dam below");
    await page.reads("The first dam");
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

const checked: Partial<Types["contour-check"]["output"]> = {
  meanLevelM: 100.3,
  plusMinusM: 0.002,
  worst: { peg: 2, offM: 0.01, plusMinusM: 0.003 },
  gradesPlusMinusPct: [0.04],
  drainsTo: "low points",
  offsM: [0, 0.01],
  gradesPct: [0.1],
  lowPoints: [],
  verdict: "OK",
  basis: "unproven",
  reasons: [],
  reaches: [],
  cautions: [],
};

test("a contour is pegged at the level of its first peg, each with the taped distance", () =>
  onPage(
    boot,
    { answers: { ...given.answers, "contour-check": () => checked }, features: { r: begun }, address: "#/peg/contour/r" },
    async (page) => {
      await page.reads("New rip line, first peg", "Read the staff where the line begins, and peg it.", "where the line begins");
      await page.type("You read", "1.2");
      await page.reads("level 100.300", "Rip line 1 as pegged today");
      await page.press("Peg");
      await page.reads("peg 2", "Staff 1.200");
      const [line] = await page.kept("rip-line");
      assert.equal(line!.fields["status"], "pegged");
      await page.type("You read", "1.14");
      await page.reads("Down is downhill: the staff stands too high.");
      await page.type("You read", "1.26");
      await page.reads("Up is uphill: the staff stands too low.");
      await page.type("You read", "1.19");
      await page.type("Taped along the line", "10");
      await page.press("Peg");
      await page.reads("peg 3");
      await page.shows(() => page.typed("Taped along the line") === "20", "a proposal as far again");
      await page.type("You read", "1.2");
      await page.press(page.presses.find((p) => p.startsWith("Peg at 20"))! ?? "Peg");
      await page.shows(async () => (await page.kept("peg")).length >= 2, "the pegs");
      const rows = await rowsOf(page);
      assert.deepEqual(
        rows.slice(1, 3).map((r) => [r.is, r.chainageM, r.spot]),
        [
          [1.2, 0, "peg"],
          [1.19, 10, "peg"],
        ],
      );
      await page.press("Tolerance, another line");
      await page.press("0.02 m", "A peg may be off by (common practice, no source)");
      assert.ok(page.isPressed("0.02 m", "A peg may be off by (common practice, no source)"));
    },
  ));

test("a line that is recorded is carried on, and stands pegged from then", () =>
  onPage(
    boot,
    {
      ...given,
      features: { r: begun, l: { kind: "windrow", name: "W1", status: "proposed", observedOn: "2026-03-01" } },
      address: "#/peg/contour/r",
    },
    async (page) => {
      await page.press("Line new rip line");
      await page.press(page.presses.find((p) => p.startsWith("W1"))!);
      await page.reads("W1, first peg");
      await page.type("You read", "1.2");
      await page.reads("and W1 as pegged today");
      await page.press("Peg");
      await page.reads("Peg at 0 m takes this distance. If you taped another, key it.");
      await page.press("Peg at 0 m");
      await page.shows(async () => (await page.phone.store.feature("l"))!.fields["status"] === "pegged", "pegged");
      assert.equal((await page.kept("peg"))[0]!.fields["of"] ?? (await page.kept("peg"))[0]!.fields["line"], "l");
    },
  ));

const bank = (slopePct: number, allowedM: number, otherAllowedM?: number) => () => ({
  tableSource: "a district",
  banks: [{ slopePct, allowedM, ...(otherAllowedM !== undefined && { otherAllowedM }) }],
});

test("whoa-boys are asked for where the table says, from the top down the track", () =>
  onPage(
    boot,
    {
      answers: { ...given.answers, "whoa-boys": bank(5, 30) },
      features: { r: begun, t: { kind: "track", name: "T1", observedOn: "2026-03-01" } },
      address: "#/peg/whoa-boys/r",
    },
    async (page) => {
      await page.reads("No spacing table chosen. From the top of the slope", "Track none");
      await page.press("Choose the spacing table");
      await page.reads("Whoa-boys at Stony Block", "The tables differ threefold");
      assert.ok(page.isDisabled("Save for the property"));
      await page.press("Whoa-boys, two soils, Packer 1967");
      assert.ok(page.isDisabled("Save for the property"), "its soil is not chosen");
      await page.press("highly erodible", "Soil or hazard");
      await page.press("Whoa-boys, one column for all soils, Southern Regional Extension Forestry");
      assert.ok(!page.isDisabled("Save for the property"));
      await page.press("Whoa-boys, two soils, Packer 1967");
      assert.ok(page.isDisabled("Save for the property"), "nor is it remembered");
      await page.press("highly erodible", "Soil or hazard");
      await page.press("Save for the property");
      await page.reads("Spacing table saved for Stony Block");
      assert.equal(page.heading, "Whoa-boys");
      await page.reads("Spacing by", "From the top of the slope");
      await page.press("Track none");
      await page.press(page.presses.find((p) => p.startsWith("T1"))!);
      await page.type("Chainage from the upper end, taped", "100");
      await page.type("You read", "1.0");
      await page.reads("level 100.500", "on T1 at 100 m taped");
      await page.press("Top");
      await page.reads("Top of the slope booked at 100.500", "Last level 100.500", "Go down the track with staff and tape.");
      await page.type("Taped from the top", "20");
      await page.type("You read", "2.0");
      await page.reads("Go 10 m down the track", "The track falls 5.0 %: whoa-boys at most 30 m apart");
      await page.type("Taped from the top", "40");
      await page.reads("Come back 10 m up the track");
      await page.press("Peg");
      await page.reads("40 m is 10 m more than the 30 m allowed on this fall.");
      assert.deepEqual(await page.kept("whoa-boy"), []);
      await page.type("Taped from the top", "30");
      await page.reads("Here: peg the whoa-boy");
      assert.ok(!page.words.includes("more than the 30 m allowed"), "asked of another number");
      await page.press("Peg");
      await page.reads("Whoa-boy 1 pegged");
      const { fields } = (await page.kept("whoa-boy"))[0]!;
      assert.deepEqual(
        [fields["fromAboveM"], fields["track"], fields["chainageM"], fields["trackSlopePct"], fields["levelM"]],
        [30, "t", 130, 5, 99.5],
      );
      await page.reads("Last level 99.500");
      await page.type("Taped from Whoa-boy 1", "40");
      await page.type("You read", "3.5");
      await page.press("Peg");
      Object.assign(page.phone.store, { capture: () => Promise.reject(full()) });
      await page.press("Peg it here");
      await page.reads("storage is full");
      assert.ok(!page.presses.includes("Peg it here"), "it was answered");
      await page.clock.pass(1000);
      await page.reads("storage is full");
      assert.equal((await page.kept("whoa-boy")).length, 1);
      Reflect.deleteProperty(page.phone.store, "capture");
      await page.press("Peg");
      await page.shows(async () => (await page.kept("whoa-boy")).length === 2, "pegged where it was said to be meant");
      assert.equal((await rowsOf(page)).filter((row) => row.is === 3.5).length, 1, "one row of it in the book");
      assert.ok(!page.words.includes("storage is full"), page.words);
      await page.press("Start at another top");
      await page.reads("From the top of the slope");
    },
  ));

test("where the track does not fall no whoa-boy is asked for", () =>
  onPage(
    boot,
    {
      ...given,
      features: { r: begun },
      address: "#/peg/whoa-boys/r",
    },
    async (page) => {
      await page.type("You read", "1.0");
      await page.press("Top");
      await page.reads("No spacing table is chosen for this property yet.");
      await page.press("Peg");
      assert.deepEqual(await page.kept("whoa-boy"), []);
      await page.type("You read", "0.5");
      await page.reads("needs the distance taped from the top");
      await page.type("Taped from the top", "20");
      await page.press("Peg");
      await page.shows(async () => (await page.kept("whoa-boy")).length === 1, "pegged without a table");
      const { fields } = (await page.kept("whoa-boy"))[0]!;
      assert.deepEqual([fields["spacedBy"], fields["track"], fields["chainageM"]], [undefined, undefined, undefined]);
    },
  ));

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
