// A visit to a work: what it asks, what it refuses, and what it saves.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";

const dam = { kind: "check-dam", name: "D1", status: "built", observedOn: "2026-03-01", crestHeightM: 0.4 };
const before = { kind: "visit", of: "a", observedOn: "2026-04-02", condition: "sound" };

test("a first visit asks for the condition, and is not saved without one", () =>
  onPage(boot, { features: { a: dam }, address: "#/visit/a" }, async (page) => {
    await page.reads("First visit.");
    assert.equal(page.heading, "Visit to D1");
    assert.ok(!page.words.includes("It is recorded as") && !page.words.includes("This visit was begun"), page.words);
    await page.press("Save visit");
    await page.reads("Not saved: choose the condition, or measure something first");
    assert.deepEqual(await page.kept("visit"), []);
    await page.press("Sound");
    await page.press("Save: sound");
    await page.reads("Visit to D1 saved");
    const [visit] = await page.kept("visit");
    assert.equal(visit!.fields["of"], "a");
    assert.equal(visit!.fields["condition"], "sound");
    assert.equal((await page.entries("a")).length, 1, "the work itself is as it was");
  }));

test("the condition of the last visit stands ready, with its day", () =>
  onPage(
    boot,
    { features: { a: dam, v: before, w: { ...before, of: "other", condition: "failed", observedOn: "2026-05-01" } }, address: "#/visit/a" },
    async (page) => {
      await page.reads("Last visit 2 April 2026: sound.", "from the visit on 2 April 2026");
      assert.ok(page.isPressed("Sound"));
      await page.press("Save: sound");
      await page.reads("Visit to D1 saved");
      assert.equal((await page.kept("visit")).filter((v) => v.fields["of"] === "a").length, 2);
    },
  ));

test("a built work that is found failed is marked so, and it is said before", () =>
  onPage(boot, { features: { a: dam }, address: "#/visit/a" }, async (page) => {
    await page.press("Failed");
    await page.reads("Saving marks it as found failed on", "When it failed is not known.");
    await page.press("Save: failed");
    await page.reads("Visit to D1 saved");
    const { fields } = (await page.phone.store.feature("a"))!;
    assert.equal(fields["status"], "failed");
    assert.match(String(fields["failedOn"]), /^\d{4}-\d\d-\d\d$/);
  }));

test("a work that nobody recorded as built is asked about, and takes no condition before", () =>
  onPage(boot, { features: { a: { ...dam, status: "pegged" } }, address: "#/visit/a" }, async (page) => {
    await page.press("Sound");
    await page.reads("It is recorded as pegged. Has it been built?");
    await page.press("Save: sound");
    await page.reads("Not saved:", "Say whether it has been built");
    assert.deepEqual(await page.kept("visit"), []);
    await page.press("Yes", "It is recorded as pegged. Has it been built?");
    await page.reads("Built on");
    await page.type("Built on", "2026-05-20");
    await page.press("Save: sound");
    await page.reads("Visit to D1 saved");
    const { fields } = (await page.phone.store.feature("a"))!;
    assert.deepEqual([fields["status"], fields["builtOn"]], ["built", "2026-05-20"]);
  }));

test("a work that had failed and is found sound is asked about, and is built again where it was repaired", () =>
  onPage(boot, { features: { a: { ...dam, status: "failed" } }, address: "#/visit/a" }, async (page) => {
    const asked = "It had failed. Has it been repaired?";
    await page.press("Needs work");
    assert.ok(!page.words.includes(asked), page.words);
    await page.press("Sound");
    await page.reads(asked);
    await page.press("Yes", asked);
    await page.press("No", asked);
    await page.press("Save: sound");
    await page.reads("Visit to D1 saved");
    assert.equal((await page.phone.store.feature("a"))!.fields["status"], "failed");
    await page.go("#/visit/a", "Visit to D1");
    await page.press("Yes", asked);
    await page.press("Save: sound");
    await page.shows(async () => (await page.phone.store.feature("a"))!.fields["status"] === "built", "built again");
  }));

test("silt is a number with how it was measured, and a doubtful one is asked about", () =>
  onPage(boot, { features: { a: dam }, address: "#/visit/a" }, async (page) => {
    await page.press("Sound");
    assert.ok(!page.words.includes("Fresh silt"), "nothing was probed yet");
    await page.type("Sediment caught", "0.9");
    await page.reads("Fresh silt may not bear a person.", "0.9 m of sediment? The crest is 0.4 m above the bed.");
    await page.press("Save: sound");
    await page.reads("Not saved: 0.9 m of sediment?");
    await page.press("It is 0.9 m");
    await page.shows(() => !page.words.includes("The crest is 0.4 m"), "no doubt any more");
    await page.type("Sediment caught", "0.12");
    await page.press("Save: sound");
    await page.reads("Not saved:");
    assert.deepEqual(await page.kept("visit"), [], "how it was measured is not said");
    await page.press("By tape");
    await page.press("Save: sound");
    await page.reads("Visit to D1 saved");
    const [visit] = await page.kept("visit");
    assert.deepEqual([visit!.fields["sedimentDepthM"], visit!.fields["sedimentDepthBasis"]], [0.12, "taped"]);
  }));

test("a visit that was begun and left is offered again, and can be discarded", () =>
  onPage(boot, { features: { a: dam }, address: "#/visit/a" }, async (page) => {
    await page.press("Failed");
    await page.shows(async () => (await page.phone.store.draft("visit/a")) !== undefined, "kept");
    await page.go("#/", "Stony Block");
    await page.go("#/visit/a", "Visit to D1");
    await page.reads("This visit was begun and not saved.");
    assert.ok(page.isPressed("Failed"));
    await page.press("Discard what was entered");
    await page.shows(() => page.heading === "Stony Block", "the first screen");
    await page.shows(async () => (await page.phone.store.draft("visit/a")) === undefined, "dropped");
    assert.deepEqual(await page.kept("visit"), []);
  }));

test("counted cover is told as a figure with its range, and against a target that may be taken back", () => {
  const cover = ({ points, target }: { points: { hits: number; total: number }; target?: string }) => ({
    ...{ coverPct: (100 * points.hits) / points.total, lowPct: 40, highPct: 92, limits: "exact", cautions: [{ text: "Few points." }] },
    ...(target && { meetsTarget: "cannot tell" }),
  });
  const plot = { kind: "cover-plot", name: "C1", observedOn: "2026-03-01" };
  return onPage(boot, { features: { p: plot }, answers: { cover }, address: "#/visit/p" }, async (page) => {
    await page.press("Count cover");
    for (const point of ["Cover", "Bare"]) await page.press(point);
    await page.reads("50 %", "1 of 2 points on cover", "between 40 % and 92 %, 95 % sure", "Few points.");
    const verdict = "Too few to say whether it meets the target: count more.";
    assert.ok(!page.words.includes(verdict));
    await page.press("70 %", "Target at the end of the dry");
    await page.reads(verdict, "above it soil loss is a tenth of bare ground's");
    await page.press("Not known: clear target at the end of the dry");
    await page.shows(() => !page.words.includes(verdict) && !page.words.includes("above it"), "no target");
    await page.press("Done");
    await page.reads("50 %, between 40 % and 92 %, 95 % sure.", "1 of 2 points");
  });
});

test("cover that was counted is saved with its readings", () =>
  onPage(boot, { features: { p: { kind: "cover-plot", name: "C1", observedOn: "2026-03-01" } }, address: "#/visit/p" }, async (page) => {
    await page.press("Count cover");
    await page.shows(() => page.heading === "Ground cover", "the counter");
    assert.ok(page.isDisabled("Remove last"));
    for (const point of ["Cover", "Cover", "Bare", "Cover", "Bare"]) await page.press(point);
    await page.press("Remove last");
    await page.press("Done");
    await page.reads("3 of 4 points");
    await page.press("Save visit");
    await page.reads("Visit to C1 saved");
    const [visit] = await page.kept("visit");
    assert.deepEqual([visit!.fields["coverHits"], visit!.fields["coverPoints"], visit!.fields["coverPct"]], [3, 4, 75]);
    assert.equal(visit!.fields["condition"], undefined);
  }));

test("plots that were judged by eye are their mean, within what a plot can have", () =>
  onPage(boot, { features: { p: { kind: "cover-plot", name: "C1", observedOn: "2026-03-01" } }, address: "#/visit/p" }, async (page) => {
    await page.press("Count cover");
    await page.reads("0 of 0 points on cover");
    await page.press("Plots by eye", "Counted by");
    await page.reads("0 plots");
    assert.ok(page.isDisabled("Add plot") && page.isDisabled("Remove last"));
    await page.press("5 less");
    assert.equal(page.typed("Cover of this plot"), "0");
    await page.press("5 more");
    await page.press("5 more");
    assert.equal(page.typed("Cover of this plot"), "10");
    for (const [pct, right] of [
      ["-1", false],
      ["101", false],
      ["100", true],
      ["0", true],
      ["x", false],
      ["60", true],
    ] as const) {
      await page.type("Cover of this plot", pct);
      assert.equal(page.isDisabled("Add plot"), !right, pct);
    }
    assert.equal(page.wrongWith("Cover of this plot"), "");
    await page.press("Add plot");
    await page.reads("1 plots: 60 %");
    assert.equal(page.typed("Cover of this plot"), "");
    await page.type("Cover of this plot", "98");
    await page.press("5 more");
    assert.equal(page.typed("Cover of this plot"), "100");
    await page.press("Add plot");
    await page.type("Cover of this plot", "5");
    await page.press("Add plot");
    await page.reads("3 plots: 60, 100, 5 %");
    await page.press("Remove last");
    await page.reads("2 plots: 60, 100 %");
    await page.press("Done");
    await page.press("Save visit");
    await page.reads("Visit to C1 saved");
    const [visit] = await page.kept("visit");
    assert.equal(visit!.fields["coverPct"], 80);
  }));
