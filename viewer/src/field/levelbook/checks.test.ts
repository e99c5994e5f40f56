// The page of a book that is closed: its sums, its misclosure, and what can be done to a row.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";
import { reduced } from "./level.test.ts";

const run = {
  kind: "level-run",
  name: "Run 1",
  observedOn: "2026-03-01",
  instrument: "Dumpy level",
  rows: [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    { point: "CP1", fs: 1.2, bs: 2 },
    { point: "2", is: 1, struck: true },
    { point: "2", is: 1.1, remark: "soft" },
    { point: "BM2", fs: 2.2, knownLevelM: 100.1 },
  ],
};
const answers = (more: object) => ({
  "level-run": (input: Parameters<typeof reduced>[0]) => {
    const whole = reduced(input);
    const rows = whole.rows.map((row, i) => (i === 1 ? { ...row, adjustedLevelM: 100.3015, riseM: 0.3 } : row));
    return {
      ...whole,
      rows,
      sums: { bs: 3.5, fs: 3.4, rise: 1.2, fall: 1.1 },
      closed: true,
      unfinished: false,
      closures: [{ closed: true }],
      ...more,
    };
  },
});

test("a closed run shows its sums and how far it is out, and each row what was made of it", () =>
  onPage(
    boot,
    {
      features: { r: run },
      answers: answers({
        misclosureM: -0.003,
        allowableM: 0.007,
        reasons: ["It closes on BM2."],
        cautions: [{ text: "The sights differ in length." }],
      }),
      address: "#/level/r",
    },
    async (page) => {
      await page.reads("Closed: out by 3.0 mm");
      await page.press("Page (5)");
      await page.reads(
        "Backsights less foresights 3.500 − 3.400 = 0.100",
        "Rises less falls 1.200 − 1.100 = 0.100",
        "The arithmetic agrees: rise and fall, height of instrument and the sums give the same levels.",
        "Misclosure 3.0 mm low; 7.0 mm allowed.",
        "It closes on BM2.",
        "The sights differ in length.",
        "100.302",
        "rise 0.300, 100.300 as read",
        "written again; soft",
      );
      assert.ok(!page.words.includes("The sums are shown once"));
      assert.ok(!page.words.includes("100.3015"), "a level is said to the millimetre");
      const row = async (begins: string) => page.press(page.presses.find((p) => p.startsWith(begins))!);
      await row("1 BM1");
      assert.ok(!page.presses.includes("Clear known level"), "without it there is no level at all");
      await row("1 BM1");
      assert.ok(!page.presses.includes("Strike out"), "closed again");
      await row("4 2");
      assert.ok(!page.presses.includes("Clear known level"), "it has none");
      await row("3 2, struck out");
      assert.ok(!page.presses.includes("Strike out and write again") && page.presses.includes("Restore instead of row 4"));
      await page.press("Restore instead of row 4");
      await page.reads("4 2, struck out");
      await page.press("Undo");
      await page.shows(() => page.words.includes("3 2, struck out") && !page.words.includes("4 2, struck out"), "as before");
      await row("5 BM2");
      await page.press("Clear known level", "Row 5");
      await page.shows(() => !page.presses.includes("Clear known level"), "cleared");
      await page.shows(async () => {
        const rows = (await page.phone.store.feature("r"))!.fields["rows"] as readonly { knownLevelM?: number }[];
        return rows[4]!.knownLevelM === undefined && rows[0]!.knownLevelM === 100;
      }, "in the register");
    },
  ));

test("a run of two loops shows the worst of them, not their sum", () =>
  onPage(
    boot,
    {
      features: { r: run },
      answers: answers({
        misclosureM: 0.003,
        allowableM: 0.0112,
        closures: [
          { row: 2, misclosureM: 0.004, allowableM: 0.01, closed: true },
          { row: 5, misclosureM: -0.001, allowableM: 0.005, closed: true },
        ],
      }),
      address: "#/level/r",
    },
    async (page) => {
      await page.reads("Closed: out by 4.0 mm");
      await page.press("Page (5)");
      await page.reads(
        "Closed: out by 4.0 mm, 10.0 mm allowed, as far as row 2.",
        "Worst misclosure 4.0 mm high, as far as row 2; 10.0 mm allowed.",
      );
    },
  ));

test("a run that is out says which way, and wrong sums and what does not close are said first", () =>
  onPage(
    boot,
    {
      features: { r: run },
      answers: answers({ misclosureM: 0.012, arithmeticOK: false, closures: [{ closed: false }] }),
      address: "#/level/r",
    },
    async (page) => {
      await page.press("Page (5)");
      await page.reads(
        "Misclosure 12.0 mm high.",
        "The arithmetic does not agree: rise and fall, height of instrument, the sums and the levels booked do not all say the same.",
        "Does not close: out by 12.0 mm. Its levels cannot be used: level it again.",
      );
    },
  ));

test("what a run says of itself stands on its page, and of nothing unknown a word", () => {
  const { kind, rows } = run;
  const features = { r: { ...run, staffLengthM: 4, perRootKmMm: 12 }, x: { kind, rows } };
  return onPage(boot, { features, answers: answers({ misclosureM: 0 }), address: "#/level/r" }, async (page) => {
    await page.reads("Recorded on 1 March 2026.");
    assert.equal(page.words.split("Recorded on").length, 2, "said once");
    await page.press("Page (5)");
    await page.reads("Recorded on 1 March 2026.", "About the run");
    assert.equal(page.words.split("1 March 2026").length, 2, "said once there too");
    assert.deepEqual([page.typed("Name"), page.typed("Length of the staff")], ["Run 1", "4"]);
    assert.equal(page.typed("Allowable misclosure, mm per √km"), "12");
    await page.type("Length of the staff", "");
    await page.type("Allowable misclosure, mm per √km", "1000");
    await page.type("Allowable misclosure, mm per √km", "1001");
    await page.press("mm per √set-up");
    await page.press("Write");
    await page.press("Save the book");
    await page.shows(async () => {
      const { fields } = (await page.phone.store.feature("r"))!;
      return fields["staffLengthM"] === undefined && fields["perRootSetupMm"] === 1000 && fields["perRootKmMm"] === undefined;
    }, "the usual staff, and what was right");
    await page.go("#/level/x", "Level book");
    await page.reads("Every key is kept on this phone.");
    assert.ok(!page.words.includes("Recorded on"), page.words);
    await page.press("Page (5)");
    await page.reads("About the run");
    assert.ok(!page.words.includes("Recorded on"), page.words);
  });
});

test("what is written about a run is recorded with it, and a run that is struck out says so", () =>
  onPage(
    boot,
    {
      features: { r: run },
      before: ({ phone }) => phone.store.capture(property, [{ feature: "r", strike: true }]),
      answers: answers({ misclosureM: 0 }),
      address: "#/level/r",
    },
    async (page) => {
      await page.reads("This level run is struck out.");
      await page.press("Restore");
      await page.reads("Run 1 restored");
      await page.shows(() => !page.words.includes("This level run is struck out."), "restored");
      await page.press("Page (5)");
      await page.reads("Misclosure 0.0 mm.", "ordinary or direct-reading cannot change after the first row");
      await page.type("Name", "Run A");
      await page.press("Laser, direct-reading staff", "Instrument (ordinary or direct-reading cannot change after the first row)");
      assert.ok(page.isPressed("Dumpy level", "Instrument (ordinary or direct-reading cannot change after the first row)"));
      await page.press("Laser, ordinary staff", "Instrument (ordinary or direct-reading cannot change after the first row)");
      await page.type("Length of the staff", "7");
      await page.type("Length of the staff", "70");
      assert.ok(!page.isPressed("mm per √set-up") && !page.isPressed("mm per √km"));
      await page.press("mm per √km");
      assert.ok(page.isPressed("mm per √km"));
      await page.type("Allowable misclosure, mm per √km", "12");
      await page.type("Allowable misclosure, mm per √km", "0");
      await page.press("Write");
      await page.press("Save the book");
      await page.reads("Run A saved");
      const { fields } = (await page.phone.store.feature("r"))!;
      assert.deepEqual(
        [fields["name"], fields["instrument"], fields["staffLengthM"], fields["perRootKmMm"], fields["perRootSetupMm"]],
        ["Run A", "Laser, ordinary staff", 7, 12, undefined],
      );
    },
  ));
