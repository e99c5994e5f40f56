// Pegging whoa-boys down a track: where the next is due, and what each saves.

import assert from "node:assert/strict";
import test from "node:test";
import type { Types } from "../../compute/types/index.ts";
import { onPage } from "../../device/page.test.ts";
import { full } from "../../storage/errors.ts";
import { property } from "../../storage/phone.test.ts";
import { choose, settingsID } from "../../survey/setout/settings.ts";
import { boot } from "../shell/boot.tsx";
import { begun, given, rowsOf } from "./pegging.test.ts";
import { stand } from "./standing.test.ts";

const bank = (slopePct: number, allowedM: number) => (input: Types["whoa-boys"]["input"]) => {
  asked.push(input);
  return { tableSource: "a district", banks: [{ slopePct, allowedM }] };
};

const asked: Types["whoa-boys"]["input"][] = [];

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
      await page.reads("Top saves the top of the slope, level 100.500, on T1 at 100 m taped from its upper end.");
      await page.press("Top");
      await page.reads("Top of the slope booked at 100.500", "Last level 100.500", "Go down the track with staff and tape.");
      await page.type("Taped from the top", "20");
      await page.type("You read", "2.0");
      await page.reads(
        "Go 10 m down the track",
        "The track falls 5.0 %: whoa-boys at most 30 m apart by Whoa-boys, two soils (Packer 1967).",
      );
      await page.reads(
        "Peg saves Whoa-boy 1 as pegged today, level 99.500, 20 m from the top, on T1 at 120 m from its upper end, no position.",
      );
      const guide = () => page.find("[data-guide]")[0]!.getAttribute("data-guide");
      assert.equal(guide(), "down");
      await page.type("Taped from the top", "40");
      await page.reads("Come back 10 m up the track");
      assert.equal(guide(), "up");
      await page.press("Peg");
      await page.reads("40 m is 10 m more than the 30 m allowed on this fall.");
      assert.deepEqual(await page.kept("whoa-boy"), []);
      await page.type("Taped from the top", "30");
      await page.reads("Here: peg the whoa-boy");
      assert.equal(guide(), "hold");
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
      await page.reads("From the top of the slope", "Top saves the top of the slope, on T1.");
      assert.ok(asked.every((ask) => ask.track.every((place) => Number.isFinite(place.chainageM) && Number.isFinite(place.levelM))));
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
      await page.reads("Top saves the top of the slope, level 100.500.");
      assert.ok(!page.presses.some((p) => p.startsWith("Track ")) && !page.presses.includes("Another spacing table"));
      assert.ok(!page.inputs.some((label) => label.startsWith("Chainage")), "along no track");
      await page.press("Top");
      await page.reads("No spacing table is chosen for this property yet.");
      await page.press("Peg");
      assert.deepEqual(await page.kept("whoa-boy"), []);
      await page.type("You read", "0.5");
      await page.reads("needs the distance taped from the top");
      await page.type("Taped from the top", "20");
      await page.reads("Peg saves Whoa-boy 1 as pegged today, level 101.000, 20 m from the top, no position.");
      await page.type("Taped from the top", "2000");
      await page.press("Peg");
      await page.reads("2000 m from the last one?");
      await page.type("Taped from the top", "20");
      await page.press("Peg");
      await page.shows(async () => (await page.kept("whoa-boy")).length === 1, "pegged without a table");
      const { fields } = (await page.kept("whoa-boy"))[0]!;
      assert.deepEqual([fields["spacedBy"], fields["track"], fields["chainageM"]], [undefined, undefined, undefined]);
    },
  ));

test("down a track: how far by GPS, what rises needs none, and a table that refuses says why", () => {
  let why: { reason: string; path?: string } | undefined;
  const bank = () => {
    if (why) throw why;
    return { tableSource: "x", banks: [{ slopePct: 5, allowedM: 30 }] };
  };
  return onPage(
    boot,
    {
      answers: { ...given.answers, "whoa-boys": bank },
      features: {
        r: begun,
        [settingsID(property)]: choose({ table: "water-bars-two-soils", soil: "general" }),
        t: { kind: "track", name: "T1", observedOn: "2026-03-01" },
        f: { kind: "fence", name: "F1", observedOn: "2026-03-01" },
        p: { kind: "peg", name: "P1", observedOn: "2026-03-01" },
        s: { kind: "track", name: "T2", observedOn: "2026-03-01" },
      },
      before: (page) => page.phone.store.capture(property, [{ feature: "s", strike: true }]),
      address: "#/peg/whoa-boys/r",
    },
    async (page) => {
      await page.reads("Spacing by Whoa-boys, two soils, general, Packer 1967");
      assert.equal(page.leads("Another spacing table"), "#/peg/spacing");
      assert.ok(!page.words.includes("No spacing table chosen") && !page.words.includes("Two phones"));
      await page.press("Track none");
      assert.ok(page.isPressed("On none") && !page.presses.some((p) => p.startsWith("P1")), "a peg is no track");
      assert.ok(!page.presses.some((p) => p.startsWith("T2")), "it is struck out");
      await page.press(page.presses.find((p) => p.startsWith("F1"))!);
      await page.reads("Track F1");
      await page.type("Chainage from the upper end, taped", "12");
      await page.press("Track F1");
      await page.press(page.presses.find((p) => p.startsWith("F1"))!);
      assert.equal(page.typed("Chainage from the upper end, taped"), "12", "the same one keeps it");
      await page.press("Track F1");
      await page.press(page.presses.find((p) => p.startsWith("T1"))!);
      assert.equal(page.typed("Chainage from the upper end, taped"), "", "another has another");
      await stand(page, 0);
      await page.press("Top");
      assert.ok(page.words.includes("Staff at the top of the slope"), "nothing is read yet");
      assert.ok(page.words.includes("Top saves the top of the slope, on T1."), page.words);
      await page.press("Track T1");
      await page.press("On none");
      await page.reads("Track none", "Top saves the top of the slope, on no track.");
      assert.ok(!page.presses.includes("Close"), "it is chosen");
      await page.press("Track none");
      await page.press(page.presses.find((p) => p.startsWith("T1"))!);
      assert.ok(!page.presses.includes("Close"), "it is chosen");
      await page.type("You read", "1.0");
      await page.press("Top");
      await page.reads("Last level 100.500", "Go down the track with staff and tape.");
      await stand(page, 30, 6);
      await page.reads("About 30 m from the last level by GPS, ±4 m: tape it.", "Peg needs the distance taped from the top: key it.");
      await page.type("You read", "0.9");
      await page.type("Taped from the top", "30");
      await page.reads("The track does not fall from the last level to here, so no whoa-boy is needed here.");
      await page.type("You read", "1.0");
      await page.reads("The track does not fall from the last level to here");
      await page.type("You read", "1.001");
      await page.shows(() => !page.words.includes("The track does not fall"), "it falls");
      assert.ok(page.find(".checked.wrong").length === 0);
      why = { reason: "is too steep for the table", path: "track" };
      await page.type("You read", "2.5");
      await page.reads("The track is too steep for the table.");
      assert.equal(page.find(".checked.wrong").length, 1);
    },
  );
});

test("a top stands on the track that is nearest, and is asked about beyond its end", () => {
  const geometry = {
    type: "LineString",
    coordinates: [
      [146.5, -20.25],
      [146.501, -20.25],
    ],
  };
  return onPage(
    boot,
    {
      answers: { ...given.answers, "whoa-boys": bank(5, 30) },
      features: {
        r: begun,
        [settingsID(property)]: choose({ table: "local", rows: [{ upToPct: 10, spacingM: 30 }], source: "Shire sheet 4" }),
        t: { kind: "track", name: "T1", observedOn: "2026-03-01", geometry },
      },
      address: "#/peg/whoa-boys/r",
    },
    async (page) => {
      await page.reads("Spacing by The local table, your own", "Track none");
      await stand(page, 0);
      await page.reads("Track T1 (nearest, 0 m)", "Top saves the top of the slope, on T1 (nearest, 0 m).");
      await page.press("Track T1 (nearest, 0 m)");
      await page.press(page.presses.find((p) => p.startsWith("T1"))!);
      await page.reads("Top saves the top of the slope, on T1.");
      await page.type("You read", "1.0");
      for (const [along, question] of [
        ["1001", "1001 m for the first chainage?"],
        ["500", "T1 was recorded 104 m long. Chainage 500 m is beyond its end: is it right?"],
      ] as const) {
        await page.type("Chainage from the upper end, taped", along);
        await page.press("Top");
        await page.reads(question);
      }
      await page.type("Chainage from the upper end, taped", "90");
      await page.press("Top");
      await page.reads("Last level 100.500");
      await page.type("You read", "2.5");
      await page.type("Taped from the top", "30");
      await page.reads("whoa-boys at most 30 m apart by the local table (Shire sheet 4).", "on T1 at 120 m from its upper end, GPS ±4 m.");
      await page.clock.pass(200_000);
      await page.press("Peg");
      await page.reads("If the staff stands elsewhere now, key what it shows.");
      await page.press("The staff shows 2.5 m now");
      await page.reads("Whoa-boy 1 pegged");
      const row = (await rowsOf(page))[2] as { remark?: string; chainageM?: number };
      assert.deepEqual([row.remark, row.chainageM], ["taped 30 m from the top of the slope", 120]);
    },
  );
});
