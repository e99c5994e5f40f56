// What the pad of a level book says and asks for, by the sight, what the staff stands on, and
// what is typed.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import type { LongSection } from "../../compute/sheets.ts";
import { boot } from "../shell/boot.tsx";
import { answers, reduced, run } from "./level.test.ts";

const on = { observedOn: "2026-03-01" };
const line = (lengthM: number) => ({
  type: "LineString",
  coordinates: [
    [146.5, -20.25],
    [146.5, -20.25 + lengthM / 110_700],
  ],
});
const bed = (is: number, chainageM: number) => ({ point: `Bed at ${chainageM} m`, is, feature: "t", spot: "bed", chainageM });
const start = run.rows[0]!;
const box = (page: Page) => page.inputs.find((l) => / on |^Higher by/.test(l))!;
const level = (page: Page) => page.find(".level")[0]!.textContent!.trim();
const next = (page: Page) => page.find(".next")[0]!.textContent;
const isSigned = (page: Page) => page.presses.includes("Change sign");

test("the level of the first backsight is given and its line of sight; of a later one the line of sight alone", () => {
  const rising = (input: Parameters<typeof reduced>[0]) => {
    const whole = reduced(input);
    return { ...whole, rows: whole.rows.map((row) => ({ ...row, riseM: 0.25 })) };
  };
  return onPage(boot, { features: { r: run }, answers: { "level-run": rising }, address: "#/level/n" }, async (page) => {
    assert.equal(level(page), "");
    await page.type("Level of Start", "100");
    await page.type("Backsight on Start", "1.5");
    await page.shows(() => level(page) === "100.000 sight 101.500", "both");
    await page.go("#/level/r", "Run 1");
    await page.type(box(page), "1.25");
    await page.shows(() => level(page) === "100.250 rise 0.250", "a level and its rise");
    await page.press("Foresight", "Which sight");
    await page.press("Book");
    await page.type(box(page), "2");
    await page.shows(() => level(page) === "sight 102.250", "the sight");
    assert.equal(box(page), "Backsight on CP1");
    assert.ok(!page.inputs.includes("Level of CP1"), "it is known from before");
    await page.press("Page (4)");
    await page.press(page.presses.find((p) => p.startsWith("2 bed 1"))!);
    await page.press("Strike out and write again");
    await page.shows(() => level(page) === "100.300", "no step before another reading is typed");
  });
});

test("a reading below nought is possible where levels go below it, and where it is typed", () =>
  onPage(
    boot,
    { features: { r: run, d: { ...run, name: "Run 2", instrument: "Laser, direct-reading staff" } }, answers, address: "#/level/r" },
    async (page) => {
      await page.reads("Staff on nothing marked");
      assert.equal(isSigned(page), false);
      await page.press("Name, note, distance, overhead point");
      assert.ok(page.presses.includes("Staff upside down, on an overhead point"));
      await page.press("Its level is known");
      assert.equal(isSigned(page), true, "a level");
      await page.type("Level of point 1", "100.2");
      await page.press("Its level is known");
      assert.equal(isSigned(page), false);
      assert.equal(page.typed("Level of point 1"), "100.2", "what was typed stays in sight");
      await page.type(box(page), "-1");
      assert.equal(isSigned(page), true, "what has a sign loses it by the same key");
      await page.press("Change sign", "Number pad");
      assert.deepEqual([page.typed(box(page)), isSigned(page)], ["1", false]);
      await page.go("#/level/d", "Run 2");
      await page.shows(() => box(page) === "Higher by, at point 1", "how much higher the ground is");
      assert.equal(isSigned(page), true);
      await page.press("Name, note, distance, overhead point");
      assert.ok(!page.presses.includes("Staff upside down, on an overhead point"));
    },
  ));

test("a chainage is asked for with the end that it is taped from", () => {
  const things = (kind: string, name: string) => ({ kind, name, ...on });
  const features = {
    r: run,
    t: things("thalweg", "G1"),
    u: things("thalweg", "G2"),
    v: things("thalweg", "G3"),
    k: things("track", "T1"),
    f: things("fence", "F1"),
    p: things("rip-line", "L1"),
  };
  const of = (thalweg: string, more: Partial<LongSection>): LongSection => ({
    ...{ thalweg, lengthM: 20, dams: [], pairs: [], proven: false, notes: [] },
    bed: [0, 20].map((chainageM) => ({ chainageM, levelM: 10 })),
    ...more,
  });
  const sections = [of("t", {}), of("u", { bookedFromM: 20 })];
  return onPage(boot, { features, answers, sections, address: "#/level/r" }, async (page) => {
    await page.reads("Staff on nothing marked");
    assert.ok(!page.inputs.some((l) => l.startsWith("Chainage")));
    for (const [thing, taped] of [
      ["G1, bed", "from the downstream end"],
      ["G2, bed", "from the head"],
      ["G3, bed", "along it"],
      ["T1, peg", "from its upper end"],
      ["F1, peg", "from its upper end"],
      ["L1, peg", "along it"],
    ]) {
      await page.press(page.presses.find((p) => p.startsWith("Staff on"))!);
      await page.press(thing!);
      await page.shows(() => page.inputs.includes(`Chainage, taped ${taped}`), `${thing}: ${taped}`);
    }
    assert.ok(box(page).endsWith(" on Peg 1"), box(page));
    await page.press("Staff on L1, peg");
    await page.press("G1, bed");
    assert.ok(box(page).endsWith(" on the bed"));
    await page.press("Name, note, distance, overhead point");
    await page.reads("Bed if left empty");
    await page.type("Name of the point", "rock");
    assert.ok(box(page).endsWith(" on rock"));
    assert.ok(!page.words.includes("if left empty"), page.words);
  });
});

test("a chainage that is proposed says so, and one that can hardly be meant is asked about", () => {
  const features = {
    r: { ...run, rows: [start, bed(1.2, 0), { ...bed(1.1, 10), point: "rock" }] },
    t: { kind: "thalweg", name: "G1", geometry: line(100), ...on },
    n: { kind: "peg", name: "P1", ...on },
  };
  return onPage(boot, { features, answers, address: "#/level/r" }, async (page) => {
    await page.reads("Bed at 0 m IS 1.200 100.300 rock IS 1.100 at 10 m 100.400");
    await page.press("Staff on nothing marked");
    await page.reads("1 item"); // nothing else is levelled
    await page.press("Name, note, distance, overhead point");
    await page.press("Its level is known");
    await page.press("G1, bed");
    const chainage = "Chainage, taped along it";
    assert.equal(page.typed(chainage), "20");
    assert.ok(page.words.includes("proposed") && !page.words.includes("proposed: Book takes it"), page.words);
    await page.press("1", "Number pad");
    assert.equal(page.typed(box(page)), "1", "the keys go on with the reading");
    await page.press("Book");
    await page.reads("proposed: Book takes it", "Book at 20 m");
    (page.find(".figures")[0] as HTMLInputElement).focus();
    await page.press("2", "Number pad");
    assert.equal(page.typed(box(page)), "1.2", "a box that is chosen is keyed in");
    await page.type(chainage, "126");
    assert.ok(!page.words.includes("proposed") && !page.presses.includes("Book at 20 m"), page.words);
    await page.press("Book");
    await page.reads("126 m is 116 m farther: is it right? If not, key the right one.");
    await page.type(chainage, "127");
    assert.ok(!page.words.includes("is it right?"), "another is another");
    await page.type(chainage, "69");
    await page.press("Book");
    await page.shows(() => page.typed(chainage) === "", "none proposed beyond the end");
    await page.type(box(page), "1");
    await page.type(chainage, "127");
    await page.press("Book");
    await page.reads("G1 was recorded 100 m long. Chainage 127 m is beyond its end: is it right?");
    await page.press("It is 127 m: book it");
    await page.press("Save the book");
    await page.shows(async () => {
      const rows = (await page.phone.store.feature("r"))!.fields["rows"] as readonly { chainageM?: number }[];
      return rows.map((r) => r.chainageM).join() === ",0,10,69,127";
    }, "what was sure");
  });
});

test("what comes next is said by what the last row waits for", async () => {
  const foresight = { point: "CP1", fs: 1.2 };
  const struck = { point: "9", is: 1, struck: true };
  const more = { point: "3", is: 1.1 };
  const ends = "Move the level, then sight back on CP1. Or end here.";
  const first = "First a backsight, on a point of known level; assume 100 if none is known.";
  for (const [name, rows, want, ending] of [
    ["a foresight at the end", [start, foresight], ends, true],
    ["one with a row below that is struck out", [start, foresight, struck], ends, true],
    ["one in the midst", [start, foresight, more], "Row 2 is a foresight now: give the backsight on CP1 that followed it.", false],
    ["nothing", [start, more], "", false],
    ["a start that is struck out", [{ ...start, struck: true }], first, false],
  ] as const)
    await onPage(boot, { features: { r: { ...run, rows } }, answers, address: "#/level/r" }, async (page) => {
      await page.shows(() => page.heading === "Run 1" && next(page) === want, name);
      assert.equal(page.presses.includes("End here"), ending, name);
      const staff = page.presses.some((p) => p.startsWith("Staff on"));
      assert.equal(staff, want === "" || want === first, `${name}: a backsight stands on what its foresight stood on`);
      assert.equal(page.presses.includes("Intermediate"), want === "", `${name}: which sight`);
    });
});

test("rows that are booked stand above the pad by their names and levels, also where either is not there", () => {
  const rows = [start, { point: "", is: 1.2, knownLevelM: 100.3 }, { point: "x", is: 1, struck: true }];
  const none = () => {
    throw { reason: "is not a run", path: "rows[1].is" };
  };
  const lines = (page: Page) => page.find(".lastrows li").map((li) => li.textContent!.replace(/\s+/g, " ").trim());
  return onPage(boot, { features: { r: { ...run, rows } }, answers, address: "#/level/r" }, async (page) => {
    await page.shows(() => lines(page).join("; ") === "BM1 BS 1.500100.000; row 2 IS 1.200100.300", "the last two that stand");
    await page.go("#/level/n", "Run 2");
    assert.deepEqual(lines(page), ["", ""], "their room is there before them");
    await page.type("Level of Start", "100");
    await page.type("Backsight on Start", "1.5");
    await page.press("Book");
    await page.shows(() => lines(page).join("; ") === "; Start BS 1.500100.000", "the newest below");
  }).then(() =>
    onPage(boot, { features: { r: { ...run, rows } }, answers: { "level-run": none }, address: "#/level/r" }, async (page) => {
      await page.reads("Cannot be reduced yet", "Row 2, intermediate sight: is not a run.");
      assert.deepEqual(lines(page), ["BM1 BS 1.500", "row 2 IS 1.200"]);
      await page.press("Page (3)");
      assert.ok(!page.words.includes("Nothing to calculate yet"), page.words);
      await page.reads("2 unnamed");
    }),
  );
});
