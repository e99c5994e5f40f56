// Pegging dams up a gully whose bed is levelled and whose line is drawn: how far, which way,
// and from which end its chainages count.

import assert from "node:assert/strict";
import test from "node:test";
import type { LongSection } from "../../compute/sheets.ts";
import type { Types } from "../../compute/types/index.ts";
import { onPage } from "../../device/page.test.ts";
import { reduced } from "../levelbook/level.test.ts";
import { boot } from "../shell/boot.tsx";

const lon = 146.5,
  lat = -20.25;
const north = (m: number): [number, number] => [lon, lat + m / 110_700];
const gully = {
  kind: "thalweg",
  name: "G1",
  observedOn: "2026-03-01",
  geometry: { type: "LineString", coordinates: [north(0), north(100)] },
  accuraciesM: [2, 2],
};
const dam = {
  kind: "check-dam",
  name: "D1",
  status: "pegged",
  observedOn: "2026-03-01",
  crestHeightM: 0.4,
  thalweg: "t",
  chainageM: 10,
  geometry: { type: "Point", coordinates: north(10) },
  accuracyM: 2,
};
const run = {
  kind: "level-run",
  name: "Run 1",
  observedOn: "2026-03-01",
  instrument: "automatic level",
  rows: [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    { point: "b", is: 1.5, feature: "t", spot: "bed", chainageM: 0 },
    { point: "b", is: 0.5, feature: "t", spot: "bed", chainageM: 50 },
    { point: "D1", is: 1.3, feature: "d", spot: "toe", chainageM: 10 },
  ],
};
const section = (more: Partial<LongSection> = {}): LongSection => ({
  thalweg: "t",
  name: "G1",
  lengthM: 50,
  bed: [
    { chainageM: 0, levelM: 100 },
    { chainageM: 50, levelM: 101 },
  ],
  dams: [{ id: "d", name: "D1", chainageM: 10, chainageBasis: "taped", basis: "unproven" }],
  pairs: [],
  proven: true,
  notes: [],
  ...more,
});
const reading = ({ instrumentLevelM, targetLevelM, readM }: Types["staff-reading"]["input"]) => ({
  readingM: instrumentLevelM - targetLevelM,
  ...(readM != null && { levelM: instrumentLevelM - readM, offM: instrumentLevelM - readM - targetLevelM }),
});
const asked: Types["dam-layout"]["input"][] = [];
const answers = {
  "level-run": reduced,
  "staff-reading": reading,
  "dam-layout": (input: Types["dam-layout"]["input"]) => {
    asked.push(input);
    return { dams: [{ chainageM: 10 }, { chainageM: 30 }] };
  },
  "dam-check": ({ depositSlopePct }: { depositSlopePct: number }) => ({ pairs: [{ stepM: -depositSlopePct / 10 }] }),
};
const features = { r: run, t: gully, d: dam };

test("how far up the next dam goes is said by the bed, and which way by the line", () =>
  onPage(
    boot,
    { answers, features, sections: [section({ line: { atFirstM: 0, down: false } })], address: "#/peg/dams/r" },
    async (page) => {
      await page.reads("By the levelled bed: 20.0 m up from the toe of D1.");
      const last = asked.pop()!;
      assert.deepEqual([last.fromM, Math.round(last.crestHeightM! * 1000)], [10, 400], "as high above the bed as the crest stands");
      await page.stand(lon, lat, 2);
      await page.reads("By the levelled bed: 20.0 m up from the toe of D1. 30 m north, ±4 m by GPS.", "in G1");
      await page.type("You read", "0.9");
      await page.type("Taped up from the toe of D1", "21");
      await page.reads("21 m up from D1", "chainage 31 m taped from the downstream end");
      await page.press("Peg");
      await page.shows(async () => (await page.kept("check-dam")).length === 2, "the second");
      const second = (await page.kept("check-dam")).find((f) => f.id !== "d")!.fields;
      assert.deepEqual(
        [second["thalweg"], second["chainageM"], second["fromBelowM"], second["damBelow"], second["targetCrestLevelM"]],
        ["t", 31, 21, "d", 101],
      );
    },
  ));

test("a chainage past the end of the line is asked about, and chainages count from where the bed was booked", () =>
  onPage(boot, { answers, features, sections: [section({ bookedFromM: 50 })], address: "#/peg/dams/r" }, async (page) => {
    await page.type("You read", "0.9");
    await page.type("Taped up from the toe of D1", "21");
    await page.reads("from the head");
    await page.type("Taped up from the toe of D1", "500");
    await page.press("Peg");
    await page.shows(() => page.find("[role=alert].question").length === 1, "a question");
    assert.equal((await page.kept("check-dam")).length, 1);
  }));

test("silt that rises lifts the level wanted, and needs the distance", () =>
  onPage(boot, { answers, features, sections: [section()], address: "#/peg/dams/r" }, async (page) => {
    await page.press("Height, silt, gully");
    await page.press("rising 1 %", "Silt behind the dam settles");
    await page.reads("the level wanted rises with it");
    assert.ok(!page.words.includes("Staff "), "how far it rises is not known yet");
    assert.ok(!page.words.includes("Staff 0.900"));
    await page.type("Taped up from the toe of D1", "10");
    await page.reads("Staff 0.800");
    assert.ok(!page.words.includes("the level wanted rises with it"));
    await page.press("level", "Silt behind the dam settles");
    await page.reads("Staff 0.900");
    await page.type("Taped up from the toe of D1", "");
    assert.ok(!page.words.includes("the level wanted rises with it"));
  }));

test("which end of the line is chainage 0 is asked where nothing tells, and saved with the gully", () =>
  onPage(boot, { answers, features, sections: [section({ zeroUnknown: true })], address: "#/peg/dams/r" }, async (page) => {
    await page.reads("Which end of G1's line is chainage 0?");
    const asksUp = () => page.inputs.includes("Taped up from the toe of D1");
    assert.ok(!asksUp(), "the question needs its room");
    await page.press("Height, silt, gully");
    await page.press("rising 1 %", "Silt behind the dam settles");
    assert.ok(asksUp(), "the level wanted rises with it");
    await page.type("Taped up from the toe of D1", "10");
    await page.press("level", "Silt behind the dam settles");
    assert.ok(asksUp(), "something stands in it");
    await page.type("Taped up from the toe of D1", "");
    await page.shows(() => !asksUp(), "it makes room again");
    await page.press("Which end of G1's line is chainage 0?");
    const ends = page.find("fieldset button").map((b) => b.textContent!);
    assert.ok(ends.length >= 2, ends.join());
    await page.press(ends[0]!);
    await page.shows(async () => (await page.phone.store.feature("t"))!.fields["chainageZero"] !== undefined, "saved");
    await page.reads("G1: chainage 0 is at its");
  }));

test("of a gully walked in two pieces both are drawn and its ends asked for", () => {
  const geometry = {
    type: "MultiLineString",
    coordinates: [
      [north(0), north(40)],
      [north(60), north(100)],
    ],
  };
  return onPage(
    boot,
    { answers, features: { ...features, t: { ...gully, geometry } }, sections: [section({ zeroUnknown: true })], address: "#/peg/dams/r" },
    async (page) => {
      await page.reads("Which end of G1's line is chainage 0?");
      await page.press("Which end of G1's line is chainage 0?");
      assert.equal(page.find(".linezero polyline").length, 2);
      await page.press("A: south end");
      await page.shows(async () => (await page.phone.store.feature("t"))!.fields["chainageZero"] === "start of the line", "saved");
    },
  );
});

test("while the levels are worked out nothing is said to be missing, and a gully that was not walked has no line", () => {
  let levels = () => {};
  const late = new Promise<void>((go) => (levels = go));
  return onPage(
    boot,
    {
      answers: { ...answers, "level-run": (input: Parameters<typeof reduced>[0]) => late.then(() => reduced(input)) },
      features: { ...features, t: { kind: "thalweg", name: "G1", observedOn: "2026-03-01" } },
      sections: [section()],
      address: "#/peg/dams/r",
    },
    async (page) => {
      await page.reads("The first dam", "Read the staff, and key it in.");
      await page.press("Height, silt, gully");
      assert.ok(!page.words.includes("Line of sight") && !page.presses.includes("Open the level book"), page.words);
      levels();
      await page.reads("By the levelled bed: 20.0 m up from the toe of D1.", "Staff 0.900");
      assert.ok(!page.words.includes("chainage 0"), "there is no line whose end could be meant");
    },
  );
});

test("a dam in no gully is pegged so when the officer says it", () =>
  onPage(
    boot,
    { answers, features: { ...features, d: { ...dam, thalweg: "" } }, sections: [section()], address: "#/peg/dams/r" },
    async (page) => {
      await page.reads("in no gully (choose it below)");
      await page.stand(...north(20), 2);
      await page.reads("in G1 (nearest, ");
      await page.press("Height, silt, gully");
      await page.press(page.presses.filter((p) => p.includes("G1")).pop()!);
      await page.press("In no gully");
      await page.reads("in no gully (choose it below)");
    },
  ));
