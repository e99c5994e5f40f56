// Pegging from a plan: the proposed work becomes the pegged one, and an undone peg leaves it proposed.

import assert from "node:assert/strict";
import test from "node:test";
import type { Types } from "../../compute/types/index.ts";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { choose, settingsID } from "../../survey/setout/settings.ts";
import { boot } from "../shell/boot.tsx";
import { begun, given, rowsOf } from "./pegging.test.ts";

const proposed = (name: string, more: { readonly [field: string]: unknown }) => ({
  ...{ name, status: "proposed", proposedOn: "2026-03-01", chainageBasis: "from plan", plan: "p" },
  ...more,
});
const planned = (name: string, chainageM: number, targetToeLevelM: number) =>
  proposed(name, {
    ...{ kind: "check-dam", thalweg: "t", chainageM, targetToeLevelM },
    ...{ crestHeightM: 0.4, crestHeightBasis: "from plan", targetCrestLevelM: targetToeLevelM + 0.4 },
  });
const features = {
  r: begun,
  t: { kind: "thalweg", name: "G1", observedOn: "2026-03-01" },
  p: { kind: "plan", name: "Dams along G1", of: "t", plans: "dams", input: "{}" },
  one: planned("Dam 1", 2, 100.1),
  two: planned("Dam 2", 12, 100.5),
  three: planned("Dam 3", 22, 100.9),
};

test("the proposed dams are pegged from below, each staying one record, and the last is proposed again when its peg is struck out", () =>
  onPage(boot, { ...given, features, address: "#/peg/dams/r" }, async (page) => {
    const dam = async (id: string) => (await page.phone.store.feature(id))!.fields;
    await page.reads("In G1, by the plan", "Dam 1, planned at chainage 2.0, toe 100.100. From no crest", "Staff 1.400");
    await page.type("You read", "1.36");
    await page.type("Chainage, taped", "3.2");
    await page.reads(
      "Peg saves Dam 1 as pegged today, toe 100.140, 0.04 m above the plan's toe, 1.2 m farther up, crest to build to 100.540, chainage 3.2 m taped, no position.",
    );
    await page.press("Peg");
    await page.reads(
      "Dam 1 pegged, toe at 100.140",
      "Dam 2, planned at chainage 12.0, toe 100.500. From Dam 1, crest 100.540",
      "Staff 0.960",
    );
    const one = await dam("one");
    assert.deepEqual(
      [one["status"], one["toeLevelM"], one["targetToeLevelM"], one["chainageM"], one["chainageBasis"], one["plan"], one["proposedOn"]],
      ["pegged", 100.14, 100.1, 3.2, "taped", "p", "2026-03-01"],
    );
    const row = (await rowsOf(page))[1]!;
    assert.deepEqual([row.feature, row.spot, row.chainageM], ["one", "toe", 3.2]);

    const before = await dam("two");
    await page.type("You read", "0.96");
    await page.type("Taped up from the toe of Dam 1", "9");
    await page.press("Height, silt, gully");
    await page.press("0.5 m", "Height of the dam to be built");
    await page.press("Peg");
    await page.reads("Dam 2 pegged", "Dam 3, planned at chainage 22.0");
    const two = await dam("two");
    assert.deepEqual([two["crestHeightM"], two["damBelow"], two["fromBelowM"], two["chainageM"]], [0.5, "one", 9, 12.2]);
    await page.press("Strike out the last peg");
    await page.shows(async () => (await dam("two"))["status"] === "proposed", "proposed again");
    const { struck, fields } = (await page.phone.store.feature("two"))!;
    const known = (of: object) => Object.fromEntries(Object.entries(of).filter(([, value]) => value !== null && value !== undefined));
    assert.deepEqual([struck, known(fields)], [false, known(before)]);
    await page.reads("Dam 2, planned at chainage 12.0, toe 100.500. From Dam 1");
    assert.equal((await page.kept("check-dam")).length, 3);
  }));

test("another dam of the plan is chosen, or one that is not in it; a toe far off the plan is asked about once", () =>
  onPage(boot, { ...given, features, address: "#/peg/dams/r" }, async (page) => {
    const chooser = () => page.presses.find((p) => p.includes("From no crest"))!;
    await page.reads("Dam 1, planned at chainage 2.0");
    await page.press(chooser());
    await page.press("Dam 2, planned at chainage 12.0, toe 100.500", "Dam to peg");
    await page.reads("Dam 2, planned at chainage 12.0, toe 100.500. From no crest", "Staff 1.000");
    await page.type("You read", "0.8");
    await page.press("Peg");
    await page.reads("0.20 m too high for the plan's toe, where 0.05 m is allowed.");
    await page.press("Peg it here");
    await page.reads(
      "Dam 2 pegged, toe at 100.700",
      "Dam 3, planned at chainage 22.0, toe 100.900. From Dam 2, crest 101.100",
      "Staff 0.400",
    );
    await page.type("You read", "0.4");
    await page.press("Peg");
    await page.reads("0.20 m above the plan's toe, 100.900. Move the staff, or peg it here.");
    await page.press(page.presses.find((p) => p.includes("From Dam 2"))!);
    await page.press("A dam not in the plan", "Dam to peg");
    await page.reads("Peg saves Dam 4 as pegged today");
    await page.press("Peg");
    await page.reads("Dam 4 pegged");
    assert.equal((await page.kept("check-dam")).length, 4);
    assert.equal((await page.phone.store.feature("three"))!.fields["status"], "proposed");
  }));

test("the proposed whoa-boys are pegged down the track, each staying one record", () =>
  onPage(
    boot,
    {
      ...given,
      features: {
        r: begun,
        t: { kind: "track", name: "T1", observedOn: "2026-03-01" },
        w1: proposed("Whoa-boy 1", { kind: "whoa-boy", track: "t", chainageM: 30, outletSide: "left" }),
        w2: proposed("Whoa-boy 2", { kind: "whoa-boy", track: "t", chainageM: 60 }),
      },
      address: "#/peg/whoa-boys/r",
    },
    async (page) => {
      await page.reads("Track T1 (the one with a plan)");
      await page.type("Chainage from the upper end, taped", "0");
      await page.type("You read", "1");
      await page.press("Top");
      await page.reads("Whoa-boy 1, planned at chainage 30.0. Track T1", "By the plan: 30.0 m down from the top.");
      await page.type("You read", "2");
      await page.type("Taped from the top", "32.5");
      await page.reads(
        "Peg saves Whoa-boy 1 as pegged today, level 99.500, 32.5 m from the top, 2.5 m farther down than planned, chainage 32.5 m taped, no position.",
      );
      await page.press("Peg");
      await page.reads("Whoa-boy 1 pegged", "Whoa-boy 2, planned at chainage 60.0. Track T1");
      const bank = async () => (await page.phone.store.feature("w1"))!.fields;
      const { status, chainageM, chainageBasis, outletSide } = await bank();
      assert.deepEqual([status, chainageM, chainageBasis, outletSide], ["pegged", 32.5, "taped", "left"]);
      await page.press("Strike out the last peg");
      await page.shows(async () => (await bank())["status"] === "proposed", "proposed again");
      assert.equal((await bank())["chainageM"], 30);
      await page.reads("Whoa-boy 1, planned at chainage 30.0. Track T1", "Last level 100.500");
      await page.press(page.presses.find((p) => p.includes("planned at chainage"))!);
      await page.press("A whoa-boy not in the plan", "Whoa-boy to peg");
      await page.reads("A whoa-boy not in the plan. Track T1");
    },
  ));

// As it was met: a plan has the bank at 72.727 m, where the mean fall grows to 2 % and the row of 75 m
// ends. Levels go to the millimetre, so that the fall read there is 2.0006 %.
test("a whoa-boy that a plan has at the end of a row of the table is pegged there, whatever the last millimetre says", () => {
  const byRow = ({ track: [top, here] }: Types["whoa-boys"]["input"]) => {
    const slopePct = (100 * (top!.levelM - here!.levelM)) / here!.chainageM!;
    return { tableSource: "a district", banks: [{ slopePct, allowedM: slopePct <= 2 ? 75 : 40 }] };
  };
  return onPage(
    boot,
    {
      answers: { ...given.answers, "whoa-boys": byRow },
      features: {
        r: begun,
        t: { kind: "track", name: "T1", observedOn: "2026-03-01" },
        [settingsID(property)]: choose({ table: "water-bars-two-soils", soil: "general" }),
        w1: proposed("Whoa-boy 1", { kind: "whoa-boy", track: "t", chainageM: 72.727 }),
      },
      address: "#/peg/whoa-boys/r",
    },
    async (page) => {
      await page.type("Chainage from the upper end, taped", "0");
      await page.type("You read", "1");
      await page.press("Top");
      await page.type("You read", "2.455");
      await page.type("Taped from the top", "72.727");
      await page.reads("as planned", "Here: peg the whoa-boy", "at most 75 m apart", "or 40 m if it falls a little more");
      assert.ok(!page.words.includes("Come back"), page.words);
      await page.press("Peg");
      await page.reads("Whoa-boy 1 pegged");
      const { fields } = (await page.phone.store.feature("w1"))!;
      assert.match(String(fields["spacedBy"]), /at most 75 m apart .*, or 40 m if it falls a little more/);
    },
  );
});

test("who comes from a plan sets the level up and pegs it, without choosing again what and where", () => {
  const across = { type: "LineString", coordinates: [[146.5, -20.25] as const, [146.501, -20.25] as const] };
  return onPage(
    boot,
    {
      ...given,
      features: {
        ...features,
        u: { kind: "thalweg", name: "G2", observedOn: "2026-03-01", geometry: across },
        v: { ...features.one, name: "Dam 9", thalweg: "u" },
        r: { ...begun, rows: [...begun.rows, { point: "Dam 8, toe", is: 1, feature: "w", spot: "toe" }] },
        w: { kind: "check-dam", name: "Dam 8", thalweg: "u", crestHeightM: 0.4, status: "pegged" },
      },
      address: "#/peg/for/t",
    },
    async (page) => {
      await page.reads("To peg the dams along G1.", "Choose the book in which the level is set up now.");
      await page.press(page.presses.find((p) => p.startsWith("Run 1"))!);
      await page.reads("In G1, by the plan", "Dam 1, planned at chainage 2.0, toe 100.100. From no crest"); // not from Dam 8 of the gully beside
      assert.equal(page.address, "#/peg/dams/r/t");
      await page.go("#/peg/for/t", "Peg out");
      await page.press("New level book");
      await page.reads("Set the level up to peg the dams along G1");
      const book = page.address.split("/")[2];
      assert.equal(page.address, `#/level/${book}/t`);
      await page.go(`#/peg/dams/${book}/t`, "Next dam toe");
      await page.reads("The level is not set up in this book");
      assert.equal(page.leads("Open the level book"), `#/level/${book}/t`);
      await page.go("#/level/r/t", "Run 1");
      await page.press("Peg the dams along G1");
      await page.reads("In G1, by the plan");
    },
  );
});
