// A level book on the screen: its rows, its pad, and what it saves. The levels are reduced by
// a few lines here; the computation itself is tested in package model.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
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
export const answers = { "level-run": reduced };

export const run = {
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
    await page.press("Staff on nothing marked");
    await page.reads("There is nothing to level on this property yet.");
    await page.press("Nothing marked");
    await page.reads("Staff on nothing marked");
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

test("a run that begins or ends on a benchmark takes its level, and may end there", () =>
  onPage(
    boot,
    {
      features: {
        r: run,
        m: { kind: "benchmark", name: "BM9", observedOn: "2026-03-01", levelM: 50 },
        s: { kind: "benchmark", name: "BM8", observedOn: "2026-03-01" },
      },
      answers,
      address: "#/level/n",
    },
    async (page) => {
      const box = () => page.inputs.find((l) => / on /.test(l))!;
      await page.press("Staff on nothing marked");
      await page.press("BM8, mark");
      await page.reads("Staff on BM8, mark");
      assert.equal(page.typed("Level of BM8"), "", "nobody knows it");
      await page.press("Staff on BM8, mark");
      await page.press("BM9, mark");
      assert.equal(page.typed("Level of BM9"), "50");
      await page.type(box(), "1.5");
      await page.press("Book");
      await page.reads("Set-up 1, sight 51.500");
      await page.press("Staff on nothing marked");
      await page.press("BM9, mark");
      assert.ok(!page.inputs.includes("Level of BM9"), "an intermediate sight closes nothing");
      await page.press("Foresight", "Which sight");
      assert.ok(page.presses.includes("Staff on nothing marked"), "a change point stands on nothing");
      await page.press("Staff on nothing marked");
      assert.ok(!page.presses.some((p) => p.includes("known level")), "the benchmark is listed with what is marked");
      await page.press("BM9, mark");
      await page.type(box(), "1.49");
      await page.press("Book");
      await page.reads("This point has a known level, 50.000 m: the run may end here.");
      assert.ok(!page.presses.includes("Other known level"));
      await page.press("End here", "The run has ended");
      await page.shows(() => page.address === "#/level", "the books");
      const found = (await page.kept("level-run")).find((f) => f.id === "n")!;
      const rows = found.fields["rows"] as readonly (Booked & { feature?: string; spot?: string })[];
      assert.deepEqual(
        rows.map((r) => [r.feature, r.spot, r.knownLevelM]),
        [
          ["m", "mark", 50],
          ["m", "mark", 50],
        ],
      );
      await page.go("#/level/r", "Run 1");
      await page.reads("Staff on nothing marked");
      await page.press("Foresight", "Which sight");
      await page.type(box(), "1.2");
      await page.press("Book");
      await page.reads("This is BM1, 100.000", "This is BM9, 50.000");
      assert.ok(!page.presses.some((p) => p.startsWith("This is BM8")));
      await page.press("This is BM9, 50.000");
      await page.reads("This point has a known level, 50.000 m: the run may end here.");
      await page.press("Begin a new book on another benchmark");
      await page.shows(() => /^#\/level\/.+/.test(page.address) && page.address !== "#/level/r", "a new book");
    },
  ));

test("a page with no rows says so, and one with rows has them under the names of their points", () =>
  onPage(boot, { features: { r: run }, answers, address: "#/level/n" }, async (page) => {
    await page.press("Page (0)");
    await page.reads("Nothing is booked yet.", "Instrument Dumpy level");
    assert.ok(!page.words.includes("Nothing to calculate yet") && !page.words.includes("cannot change"), page.words);
    await page.go("#/level/r", "Run 1");
    const names = () => page.find(".lastrows .point").map((p) => p.textContent);
    await page.shows(() => names().length === 2, "the last rows");
    assert.deepEqual(names(), ["bed 1", "bed 2"]);
    await page.press("Page (3)");
    assert.ok(!page.words.includes("Nothing is booked yet."), page.words);
  }));

const bookOf = async (page: Page) =>
  (await page.phone.store.feature("r"))!.fields["rows"] as readonly (Booked & {
    point: string;
    remark?: string;
    chainageM?: number;
    distanceM?: number;
    feature?: string;
    inverted?: boolean;
  })[];

test("a book is keyed on the pad row by row, each sight in its turn", () =>
  onPage(boot, { features: { r: run }, answers, address: "#/level/r" }, async (page) => {
    await page.reads("Staff on nothing marked");
    const key = async (keys: string) => {
      for (const k of keys) await page.press(k, "Number pad");
    };
    assert.ok(page.isPressed("Intermediate", "Which sight") && !page.isPressed("Foresight", "Which sight"));
    await page.press("Staff on nothing marked");
    assert.ok(!page.presses.includes("BM1, known level 100.000"), "only a foresight closes the run");
    await page.press("Nothing marked");
    await key("1.25");
    const box = () => page.inputs.find((l) => / on /.test(l))!;
    assert.equal(page.typed(box()), "1.25");
    await page.press("Delete digit");
    assert.equal(page.typed(box()), "1.2");
    await key("0");
    await page.reads("100.300");
    await page.press("Book");
    await page.reads("Page (4)");
    await page.press("Foresight", "Which sight");
    await page.press("Staff on nothing marked");
    assert.ok(page.isPressed("Nothing marked") && !page.isPressed("BM1, known level 100.000"));
    await page.press("BM1, known level 100.000");
    await page.press("Staff on BM1");
    assert.ok(!page.isPressed("Nothing marked") && page.isPressed("BM1, known level 100.000"));
    await page.press("Nothing marked");
    await page.reads("Staff on nothing marked");
    await key("1.1");
    await page.press("Book");
    await page.reads("Move the level, then sight back on CP1. Or end here.", "This is BM1, 100.000");
    await page.press("Other known level");
    assert.ok(page.isPressed("Other known level"));
    await page.press("Other known level");
    assert.ok(!page.isPressed("Other known level"));
    await key("1.6");
    await page.press("Book");
    await page.reads("Set-up 2, sight 102.000", "Page (5)");
    await page.press("Save the book");
    await page.reads("Run 1 saved");
    assert.deepEqual(
      (await bookOf(page)).slice(3).map(({ bs, is, fs }) => [bs, is, fs]),
      [
        [undefined, 1.2, undefined],
        [1.6, undefined, 1.1],
      ],
    );
  }));

test("a reading has a name, a note, a distance, and stands on something that is marked", () =>
  onPage(
    boot,
    {
      features: {
        r: run,
        t: { kind: "thalweg", name: "G1", observedOn: "2026-03-01" },
        d: { kind: "check-dam", name: "D1", observedOn: "2026-03-01" },
      },
      answers,
      address: "#/level/r",
    },
    async (page) => {
      await page.press("Name, note, distance, overhead point");
      await page.type("Name of the point", "rock");
      await page.type("Note", "wet");
      await page.press("Distance along the route");
      assert.ok(page.isPressed("Distance along the route"));
      await page.press("Distance along the route");
      assert.ok(!page.inputs.includes("Along the route from its start") && !page.isPressed("Distance along the route"));
      await page.press("Distance along the route");
      await page.type("Along the route from its start", "30");
      await page.press("Staff upside down, on an overhead point");
      assert.ok(page.isPressed("Staff upside down, on an overhead point"));
      await page.press("Staff upside down, on an overhead point");
      await page.press("Its level is known");
      assert.ok(page.isPressed("Its level is known") && !page.isPressed("Distance along the route"));
      assert.equal(page.typed("Along the route from its start"), "30", "what was typed stays in sight");
      await page.press("Its level is known");
      await page.type(page.inputs.find((l) => / on rock$/.test(l))!, "1.3");
      await page.press("Book");
      await page.press("Staff on nothing marked");
      assert.ok(page.isPressed("Nothing marked"));
      assert.ok(!page.words.includes("There is nothing to level"), page.words);
      await page.press("G1, bed");
      await page.reads("Staff on G1, bed");
      assert.ok(page.inputs.includes("Intermediate sight on the bed"), page.inputs.join());
      await page.type(page.inputs.find((l) => l.startsWith("Chainage, taped"))!, "12");
      await page.type(page.inputs.find((l) => l.includes(" on "))!, "1.4");
      await page.press("Book");
      await page.press(page.presses.find((p) => p.startsWith("Staff on"))!);
      assert.ok(page.isPressed("G1, bed") && !page.isPressed("Nothing marked") && !page.isPressed("D1, crest"));
      await page.press("D1, crest");
      await page.press("Staff on D1, crest");
      assert.ok(page.isPressed("D1, crest") && !page.isPressed("D1, toe") && !page.isPressed("G1, bed"));
      await page.press("D1, crest");
      assert.ok(!page.inputs.some((l) => l.startsWith("Chainage, taped")));
      await page.press("Save the book");
      await page.reads("Run 1 saved");
      const [, , , rock, bed] = await bookOf(page);
      assert.deepEqual([rock!.point, rock!.remark, rock!.distanceM, rock!.is, rock!.feature], ["rock", "wet", 30, 1.3, undefined]);
      assert.deepEqual([bed!.feature, bed!.chainageM, bed!.is], ["t", 12, 1.4]);
    },
  ));

test("a row is written again, and what is wrong with the run's settings is said", () =>
  onPage(boot, { features: { r: run }, answers, address: "#/level/r" }, async (page) => {
    await page.press("Page (3)");
    await page.press(page.presses.find((p) => p.startsWith("3 bed 2"))!);
    await page.press("Strike out and write again");
    await page.reads("Row 3: IS 0.900 is struck out when you book this.");
    await page.type(page.inputs.find((l) => l.includes(" on "))!, "0.95");
    await page.press("Book");
    await page.shows(() => page.presses.some((p) => p.startsWith("Page (")), "the page");
    if (!page.words.includes("Checks")) await page.press(page.presses.find((p) => p.startsWith("Page ("))!);
    await page.reads("100.550");
    await page.reads("mm per √set-up judges until you choose; it is not recorded");
    assert.equal(page.typed("Length of the staff"), "", "nobody said");
    await page.type("Length of the staff", "x");
    assert.notEqual(page.wrongWith("Length of the staff"), "");
    await page.type("Length of the staff", "");
    assert.equal(page.wrongWith("Length of the staff"), "");
    await page.type("Length of the staff", "0.5");
    assert.equal(page.wrongWith("Length of the staff").includes("Give 1 to 20 m, or leave it empty."), true);
    await page.type("Length of the staff", "4");
    assert.equal(page.wrongWith("Length of the staff"), "");
    const allowed = page.inputs.find((l) => l.startsWith("Allowable misclosure, mm"))!;
    for (const [mm, right] of [
      ["0", false],
      ["1000", true],
      ["1001", false],
      ["x", false],
      ["12", true],
    ] as const) {
      await page.type(allowed, mm);
      assert.equal(page.wrongWith(allowed) === "", right, mm);
    }
    await page.press("mm per √km", "Allowable misclosure");
    await page.reads(
      "needs distances along the route",
      "The sums are shown once the book ends with a foresight.",
      "The arithmetic agrees: ",
    );
  }));
