// Pegging a contour by the level book: every peg at the level of the first.

import assert from "node:assert/strict";
import test from "node:test";
import type { Types } from "../../compute/types/index.ts";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";
import { begun, given, rowsOf } from "./pegging.test.ts";

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
      await page.reads("New rip line, first peg", "Read the staff where the line begins, and peg it.", "m where the line begins");
      await page.reads("Peg saves peg 1, at 0 m of the line, and Rip line 1 as pegged today, no position.");
      assert.ok(!page.words.includes("Continue with"), "there is no other yet");
      await page.press("Peg");
      assert.deepEqual(await page.kept("peg"), [], "nothing is read yet");
      await page.type("You read", "1.2");
      await page.reads("Peg saves peg 1, level 100.300, at 0 m of the line, and Rip line 1 as pegged today, no position.");
      await page.press("Peg");
      await page.reads("Rip line 1, peg 2", "Staff 1.200", "Peg saves peg 2, of Rip line 1, no position.");
      assert.equal(page.find(".checked").length, 0, "one peg is nothing to compare");
      assert.ok(!page.words.includes("the line begins") && !page.presses.some((p) => p.startsWith("Line ")));
      const [line] = await page.kept("rip-line");
      assert.equal(line!.fields["status"], "pegged");
      await page.type("You read", "1.14");
      await page.reads("Down is downhill: the staff stands too high.");
      await page.type("You read", "1.26");
      await page.reads("Up is uphill: the staff stands too low.");
      await page.type("You read", "1.19");
      await page.shows(() => !page.words.includes("downhill") && !page.words.includes("uphill"), "it holds");
      await page.type("Taped along the line", "5000");
      await page.press("Peg");
      await page.reads("The last was 0 m. 5000 m is 5000 m farther: is it right?");
      await page.type("Taped along the line", "10");
      await page.reads("Peg saves peg 2, level 100.310, at 10 m taped, of Rip line 1, no position.");
      await page.press("Peg");
      await page.reads("Rip line 1, peg 3", "All 2 pegs are within 0.05 m of their mean level");
      await page.shows(() => page.typed("Taped along the line") === "20", "a proposal as far again");
      assert.ok(page.presses.includes("Peg"), "which is not taken before it was looked at");
      await page.type("You read", "1.2");
      await page.reads("Peg saves peg 3, level 100.300, of Rip line 1, no position.");
      await page.press("Peg");
      await page.reads("Peg at 20 m takes this distance. If you taped another, key it.");
      assert.equal((await page.kept("peg")).length, 2);
      await page.press("Peg at 20 m");
      await page.reads("Rip line 1, peg 4");
      const pegs = await page.kept("peg");
      assert.deepEqual(
        (await rowsOf(page)).slice(1).map((r) => [r.is, r.chainageM, r.spot]),
        [
          [1.2, 0, "peg"],
          [1.19, 10, "peg"],
          [1.2, 20, "peg"],
        ],
      );
      assert.ok(pegs.length === 3 && pegs.every((peg) => peg.fields["of"] === line!.id), "all of one line");
      await page.go("#/", "Stony Block");
      await page.go("#/peg/contour/r", "Contour pegs");
      await page.reads("Rip line 1, peg 4");
      await page.press("Strike out the last peg");
      await page.reads("Rip line 1, peg 3");
      assert.ok(!(await page.phone.store.feature(line!.id))!.struck, "the line stands");
      await page.press("Tolerance, another line");
      await page.press("0.02 m", "A peg may be off by (common practice, no source)");
      assert.ok(page.isPressed("0.02 m", "A peg may be off by (common practice, no source)"));
      await page.type("You read", "1.23");
      await page.press("Peg");
      await page.reads("0.030 m too low for this contour, where 0.02 m is allowed.");
      await page.press("Rip line 1", "Continue with");
      await page.press("A new line");
      await page.reads("New rip line, first peg", "at 0 m of the line, and Rip line 2 as pegged today");
    },
  ));

test("a first peg that is struck out takes the line that it began with it", () =>
  onPage(boot, { ...given, features: { r: begun }, address: "#/peg/contour/r" }, async (page) => {
    await page.press("Line new rip line");
    assert.ok(!page.words.includes("Or a line that is recorded"));
    assert.ok(page.isPressed("New rip line", "New line"));
    await page.press("New timber windrow", "New line");
    await page.reads("New timber windrow, first peg", "Line new timber windrow");
    assert.ok(!page.presses.includes("Close"), "it is chosen");
    await page.press("Tolerance, another line");
    assert.ok(page.isPressed("0.1 m", "A peg may be off by (common practice, no source)"));
    await page.type("You read", "1.2");
    await page.press("Peg");
    await page.reads("Timber windrow 1, peg 2");
    await page.press("Strike out the last peg");
    await page.shows(async () => (await page.kept("windrow"))[0]!.struck, "the line is struck out");
    assert.deepEqual([(await page.kept("peg"))[0]!.struck, (await rowsOf(page))[1]!.struck], [true, true]);
  }));

test("a line that is recorded is carried on, and stands pegged from then", () =>
  onPage(
    boot,
    {
      ...given,
      features: {
        r: begun,
        l: { kind: "windrow", name: "W1", status: "proposed", observedOn: "2026-03-01" },
        m: { kind: "rip-line", name: "R1", status: "built", observedOn: "2026-03-01" },
        f: { kind: "fence", name: "F1", observedOn: "2026-03-01" },
        s: { kind: "windrow", name: "W2", status: "proposed", observedOn: "2026-03-01" },
      },
      before: (page) => page.phone.store.capture(property, [{ feature: "s", strike: true }]),
      address: "#/peg/contour/r",
    },
    async (page) => {
      await page.press("Line new rip line");
      await page.reads("Or a line that is recorded");
      const listed = page.find(".nearlist li .name").map((name) => name.textContent);
      assert.deepEqual(listed.sort(), ["R1", "W1"]);
      await page.press(page.presses.find((p) => p.startsWith("W1"))!);
      await page.reads("W1, first peg");
      assert.ok(!page.presses.includes("Close"), "it is chosen");
      await page.type("You read", "1.2");
      await page.reads("Peg saves peg 1, level 100.300, and W1 as pegged today, no position.");
      await page.press("Peg");
      await page.reads("Peg at 0 m takes this distance. If you taped another, key it.");
      assert.ok(!page.words.includes("m where the line begins"), "it may be carried on from anywhere");
      await page.press("Peg at 0 m");
      await page.shows(async () => (await page.phone.store.feature("l"))!.fields["status"] === "pegged", "pegged");
      assert.equal((await page.kept("peg"))[0]!.fields["of"], "l");
      await page.press("Strike out the last peg");
      await page.reads("The last peg is struck out");
      assert.ok(!(await page.phone.store.feature("l"))!.struck, "the line was there before");
      await page.press("Line W1");
      assert.ok(!page.isPressed("New timber windrow", "New line"));
      await page.press(page.presses.find((p) => p.startsWith("R1"))!);
      await page.type("You read", "1.2");
      await page.type("Taped along the line", "");
      await page.reads("Peg saves peg 1, level 100.300, of R1, no position.");
      await page.press("Peg");
      await page.reads("R1, peg 2", "Without taped distances the grade from peg to peg cannot be calculated.");
      assert.equal((await page.phone.store.feature("m"))!.fields["status"], "built");
    },
  ));

test("a line that a plan proposed is pegged at the plan's level, and takes the places of its pegs", () =>
  onPage(
    boot,
    {
      ...given,
      features: {
        r: begun,
        l: {
          kind: "rip-line",
          name: "Rip line 7",
          status: "proposed",
          observedOn: "2026-03-01",
          targetLevelM: 100.25,
          positionBasis: "from plan",
          geometry: {
            type: "LineString",
            coordinates: [
              [146.5, -20.25],
              [146.501, -20.25],
            ],
          }, // prettier-ignore
        },
      },
      address: "#/peg/contour/r",
    },
    async (page) => {
      await page.press("Line new rip line");
      await page.press(page.presses.find((p) => p.startsWith("Rip line 7"))!);
      await page.reads(
        "The plan puts this line at 100.250 m on the datum of its level run: peg each place where the staff stands at that level.",
      );
      await page.reads("Staff 1.250");
      await page.type("You read", "1.1");
      await page.reads("Down is downhill: the staff stands too high.");
      await page.press("Peg");
      await page.reads("0.15 m too high for this contour, where 0.05 m is allowed.");
    },
  ));
