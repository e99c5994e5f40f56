// A level book on the screen: its rows, its pad, and what it saves. The levels are reduced by
// a few lines here; the computation itself is tested in package model.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";

interface Booked {
  readonly bs?: number;
  readonly is?: number;
  readonly fs?: number;
  readonly knownLevelM?: number;
  readonly struck?: boolean;
}

/** Levels of a run by the height of the instrument, with nothing to close on. */
export const reduced = ({ rows }: { rows: readonly Booked[] }) => {
  let sightM = 0,
    setups = 0;
  return {
    rows: rows.map(({ bs, is, fs, knownLevelM, struck }) => {
      if (struck) return {};
      const levelM = is !== undefined || fs !== undefined ? sightM - (is ?? fs)! : knownLevelM!;
      if (bs !== undefined) [sightM, setups] = [levelM + bs, setups + 1];
      return { levelM, ...(bs !== undefined && { instrumentLevelM: sightM }) };
    }),
    sums: { bs: 0, fs: 0, rise: 0, fall: 0 },
    arithmeticOK: true,
    setups,
    closed: false,
    unfinished: true,
    closures: [],
    adjustedBy: "none",
    basis: "unproven",
    reasons: [],
    cautions: [],
  };
};
const answers = { "level-run": reduced };

const run = {
  kind: "level-run",
  name: "Run 1",
  observedOn: "2026-03-01",
  instrument: "automatic level",
  rows: [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    { point: "bed 1", is: 1.2 },
    { point: "bed 2", is: 0.9 },
  ],
};

test("the page of a book shows every row with its level, and a row is struck out and restored", () =>
  onPage(boot, { features: { r: run }, answers, address: "#/level/r" }, async (page) => {
    await page.press("Page (3)");
    await page.reads("100.300", "100.600", "Recorded on 1 March 2026.");
    assert.equal(page.heading, "Run 1");
    assert.ok(page.words.includes("Set-up 1, sight 101.500"), page.words);
    assert.ok(page.isPressed("Page (3)") && !page.isPressed("Write"));
    const row = page.presses.find((p) => p.startsWith("2 bed 1"))!;
    assert.match(row, /IS 1\.200.*100\.300/);
    await page.press(row);
    await page.press("Strike out", "Row 2");
    await page.reads("bed 1, struck out");
    await page.press("Write");
    await page.press("Save the book");
    await page.reads("Run 1 saved");
    const rows = (await page.phone.store.feature("r"))!.fields["rows"] as readonly Booked[];
    assert.deepEqual(
      rows.map((r) => r.struck),
      [undefined, true, undefined],
    );
  }));

test("a new book begins with a backsight, and cannot be pegged by before its set-up", () =>
  onPage(boot, { answers, address: "#/level/n" }, async (page) => {
    await page.reads("First a backsight, on a point of known level", "No set-up yet");
    assert.ok(page.isDisabled("Peg out") && page.isDisabled("Save the book") && page.isDisabled("Undo"));
    const boxes = page.inputs;
    assert.ok(boxes.some((b) => b.startsWith("Backsight on ")) && boxes.some((b) => b.startsWith("Level of ")), boxes.join());
    await page.type(boxes.find((b) => b.startsWith("Level of "))!, "100");
    await page.type(boxes.find((b) => b.startsWith("Backsight on "))!, "1.5");
    await page.press("Book");
    await page.reads("Page (1)", "Set-up 1, sight 101.500");
    assert.ok(!page.isDisabled("Peg out"));
    await page.press("Save the book");
    await page.shows(async () => (await page.kept("level-run")).length === 1, "the run in the store");
    const [row] = (await page.kept("level-run"))[0]!.fields["rows"] as readonly Booked[];
    assert.deepEqual([row!.bs, row!.knownLevelM], [1.5, 100]);
    await page.press("Undo");
    await page.reads("Page (0)");
  }));

test("books are listed with how much is in them; struck ones are not", () =>
  onPage(boot, { features: { r: run, s: { ...run, name: "Run 2" } }, answers, address: "#/level" }, async (page) => {
    await page.reads("Run 1 3 rows, 1 March 2026, not sent yet", "Run 2");
    await page.phone.store.capture("stony-block", [{ feature: "s", strike: true }]);
    await page.shows(() => !page.words.includes("Run 2"), "the struck one gone");
    await page.press("Run 1 3 rows, 1 March 2026, not sent yet");
    await page.shows(() => page.heading === "Run 1", "the book");
  }));

test("with no book it is said how to begin", () =>
  onPage(boot, { answers, address: "#/peg" }, async (page) => {
    await page.reads("Pegging goes by a level and a staff, never by GPS heights.", "No level book yet.");
    assert.ok(page.presses.includes("New level book"));
  }));
