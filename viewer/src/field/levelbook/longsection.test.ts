// The bed of a gully, drawn from the book in which it is being levelled.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import type { LongSection } from "../../compute/sheets.ts";
import type { Types } from "../../compute/types/index.ts";
import { boot } from "../shell/boot.tsx";
import { answers, run } from "./level.test.ts";

const dams = (page: Page) => page.find("svg text").flatMap((t) => (/^(D|A dam)/.test(t.textContent!) ? [t.textContent] : []));

test("the bed is drawn while it is levelled, with its dams, and each gully for itself", () => {
  const rows = [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    { point: "b", is: 1.5, feature: "t", spot: "bed", chainageM: 0 },
    { point: "b", is: 0.9, feature: "t", spot: "bed", chainageM: 20 },
    { point: "D1", is: 1.3, feature: "d", spot: "toe", chainageM: 5 },
    { point: "D1", is: 0.9, feature: "d", spot: "crest" },
    { point: "b", is: 1.2, feature: "u", spot: "bed", chainageM: 0 },
  ];
  const features = {
    r: { ...run, rows },
    t: { kind: "thalweg", name: "G1", observedOn: "2026-03-01" },
    u: { kind: "thalweg", name: "G2", observedOn: "2026-03-01" },
    d: { kind: "check-dam", name: "D1", status: "pegged", observedOn: "2026-03-01" },
  };
  const dam = (id: string, more: object) => ({ id, chainageM: 5, chainageBasis: "taped", basis: "levelled", ...more }) as const;
  const section = (thalweg: string, dams: LongSection["dams"]): LongSection => ({
    ...{ thalweg, lengthM: 20, bed: [], pairs: [], proven: false, notes: [], dams },
  });
  const sections = [
    section("t", [dam("d", { name: "D1", disagrees: true }), dam("e", { disagrees: true }), dam("f", { name: "D3" })]),
    section("u", [dam("g", { name: "D4" })]),
  ];
  return onPage(boot, { features, answers, sections, address: "#/level/r" }, async (page) => {
    await page.press("Section");
    await page.shows(() => page.images.some((i) => i.startsWith("Long section of G1")), "the drawing");
    await page.reads(
      "D1",
      "Drawn dashed: these levels are not yet checked by a closed level run.",
      "Dams drawn in outline are planned, not built yet.",
    );
    assert.ok(page.isPressed("G1", "Gully"));
    await page.reads("D1, A dam: level and place do not agree. Its page says how.");
    assert.deepEqual(dams(page), ["D1 ?"], "in doubt");
    await page.press("G2", "Gully");
    await page.reads("One point on the bed so far. A second makes a section.");
    assert.ok(page.isPressed("G2", "Gully"));
    assert.ok(!page.words.includes("do not agree"), page.words);
  });
});

test("a bed booked from the head down is drawn and listed up the gully from its downstream end", () => {
  const bed = (is: number, chainageM: number) => ({ point: "b", is, feature: "t", spot: "bed", chainageM });
  const toe = (is: number, chainageM: number, feature: string) => ({ point: feature, is, feature, spot: "toe", chainageM });
  const dam = (name: string) => ({ kind: "check-dam", name, status: "pegged", observedOn: "2026-03-01" });
  const rows = [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    bed(1.5, 0),
    bed(3.5, 100),
    bed(5.7, 140),
    toe(2, 25, "d"),
    toe(3.5, 100, "e"),
  ];
  const features = {
    r: { ...run, rows },
    t: { kind: "thalweg", name: "G1", observedOn: "2026-03-01" },
    d: dam("Upper"),
    e: dam("Lower"),
  };
  const longSection = ({ bed }: { bed: readonly { chainageM: number; levelM: number }[] }) => {
    if (bed.length < 2) throw { reason: "a bed needs 2 surveyed points" };
    const last = bed[bed.length - 1]!;
    return bed[0]!.levelM > last.levelM ? { turnedAtM: last.chainageM } : {};
  };
  const table = "Chainage up from the downstream end, m Bed, m";
  return onPage(boot, { features, answers: { ...answers, "long-section": longSection }, address: "#/level/r" }, async (page) => {
    await page.press("Section");
    await page.reads(`${table} 0 95.800 40 98.000 140 100.000`, "chainage 0 is the downstream end, 140 m as booked");
  });
});

test("a bed whose direction nothing tells is listed as it was booked", () => {
  const rows = [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    { point: "b", is: 1.5, feature: "t", spot: "bed", chainageM: 8 },
  ];
  const features = { r: { ...run, rows }, t: { kind: "thalweg", name: "G1", observedOn: "2026-03-01" } };
  return onPage(boot, { features, answers, address: "#/level/r" }, async (page) => {
    await page.press("Section");
    await page.reads("Chainage as booked, m Bed, m 8 100.000");
    assert.equal(page.find("fieldset").length, 0, "there is no other to choose");
    assert.ok(!page.words.includes("downstream end"), page.words);
  });
});

test("a book with no bed says how to level one", () =>
  onPage(boot, { features: { r: run }, answers, address: "#/level/r" }, async (page) => {
    await page.press("Section");
    await page.reads("No bed is levelled in this book yet. Choose a thalweg under “Staff on”");
    assert.deepEqual(page.images, []);
  }));

test("the steps between dams are drawn, without the bed where that is refused, and the rest without them", async () => {
  type Check = Types["dam-check"];
  const step: Check["output"]["pairs"][number] = {
    ...{ lower: "d", upper: "e", spacingM: 10, spacingPlusMinusM: 0.1, stepM: 0.5, verdict: "gap", basis: "levelled" },
  };
  const refused = () => {
    throw { reason: "is not long enough" };
  };
  const at = (feature: string, is: number, spot: string, more: object = {}) => ({ point: "x", is, feature, spot, ...more });
  const rows = [
    { point: "BM1", bs: 1.5, knownLevelM: 100 },
    at("t", 1.5, "bed", { chainageM: 0 }),
    at("t", 0.9, "bed", { chainageM: 20 }),
    at("d", 1.4, "toe", { chainageM: 5 }),
    at("d", 1.2, "crest"),
    at("e", 0.7, "toe", { chainageM: 15 }),
    at("e", 0.5, "crest"),
  ];
  const features = {
    r: { ...run, rows },
    d: { kind: "check-dam", name: "D1", observedOn: "2026-03-01" },
    e: { kind: "check-dam", name: "D2", observedOn: "2026-03-01" },
  };
  for (const [name, check, gap] of [
    ["all of it", () => ({ pairs: [step], cautions: [] }), true],
    ["a bed that is refused", ({ bed }: Check["input"]) => (bed ? refused() : { pairs: [step], cautions: [] }), true],
    ["dams that are refused", refused, false],
  ] as const)
    await onPage(boot, { features, answers: { ...answers, "dam-check": check }, address: "#/level/r" }, async (page) => {
      await page.reads("Every key is kept on this phone.");
      assert.ok(!page.words.includes("Levelled in it"), "not where it is written");
      await page.press("Section");
      await page.reads("Levelled in it D1 D2");
      await page.shows(() => dams(page).length === 2 && page.words.includes("gap 0.50 m") === gap, name);
    });
});

test("a gully that is not on this phone has no name, and of a book that cannot be reduced nothing is drawn", async () => {
  const bed = (feature: string, is: number, chainageM: number) => ({ point: "b", is, feature, spot: "bed", chainageM });
  const rows = [run.rows[0]!, bed("t", 1.5, 0), bed("t", 1, 20), bed("u", 1, 5)];
  const features = { r: { ...run, rows }, u: { kind: "thalweg", name: "G2", observedOn: "2026-03-01" } };
  await onPage(boot, { features, answers, address: "#/level/r" }, async (page) => {
    await page.press("Section");
    await page.shows(() => page.images.some((i) => i.startsWith("Long section of the gully")), "the drawing");
    assert.ok(page.isPressed("Thalweg", "Gully"));
    await page.press("G2", "Gully");
    await page.shows(() => page.isPressed("G2", "Gully"), "the other");
  });
  const none = () => {
    throw { reason: "is not a run" };
  };
  await onPage(boot, { features, answers: { "level-run": none }, address: "#/level/r" }, async (page) => {
    await page.press("Section");
    await page.reads("Cannot be reduced yet", "is not a run.");
    assert.ok(!page.words.includes("No bed is levelled") && page.images.length === 0, page.words);
  });
});
