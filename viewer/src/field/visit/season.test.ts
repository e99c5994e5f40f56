// What is due, the wet season, cover counted in plots, and where a head stands now.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";

const dam = { kind: "check-dam", name: "D1", status: "built", observedOn: "2025-03-01" };

test("what is due is said beside it, and listed alone when asked for", () =>
  onPage(
    boot,
    {
      features: {
        a: dam,
        b: { kind: "peg", name: "P1", observedOn: "2025-03-01" },
        p: { kind: "photo-point", name: "PP1", observedOn: "2024-03-01" },
      },
      address: "#/visit",
    },
    async (page) => {
      await page.reads("Due: 2", "due: ");
      assert.ok(page.presses.some((p) => p.startsWith("P1 ")) && !page.isPressed("Due: 2"));
      await page.press("Due: 2");
      await page.shows(() => !page.presses.some((p) => p.startsWith("P1 ")), "only what is due");
      assert.equal(page.leads(page.presses.find((p) => p.startsWith("D1"))!), "#/visit/a");
      assert.equal(page.leads(page.presses.find((p) => p.startsWith("PP1"))!), "#/photo/p/again");
    },
  ));

test("with nothing due or nothing at all the list says so", async () => {
  await onPage(
    boot,
    {
      features: { a: { ...dam, observedOn: "2026-05-30" }, v: { kind: "visit", of: "a", observedOn: "2026-05-31", condition: "sound" } },
      address: "#/visit",
    },
    async (page) => {
      await page.reads("Nothing is due.");
      assert.ok(!page.presses.some((p) => /due/i.test(p)), "a statement is no button");
    },
  );
  await onPage(boot, { address: "#/visit" }, (page) => page.reads("There is nothing to visit yet."));
});

test("the wet season is chosen month by month, and kept", () =>
  onPage(boot, { features: { a: dam }, address: "#/visit" }, async (page) => {
    await page.press("Wet season: not chosen yet");
    await page.reads("Until it is chosen, what is due is listed by");
    const usual = /It is (\w+) to (\w+) here/.exec(page.words)!;
    await page.press(usual[0]);
    await page.reads(`Wet season: ${usual[1]} to ${usual[2]}`);
    assert.ok(!page.words.includes("Until it is chosen"));
    const month = (label: string) => new RegExp(`${label} month: (\\w+)`).exec(page.words)![1]!;
    const [first, last] = [month("First"), month("Last")];
    await page.press("First month later");
    assert.notEqual(month("First"), first);
    await page.press("First month earlier");
    assert.equal(month("First"), first);
    await page.press("First month earlier");
    assert.notEqual(month("First"), first);
    assert.equal(month("Last"), last);
    for (let i = 0; i < 12; i++) await page.press("Last month later");
    assert.equal(month("Last"), last, "a year has twelve months");
    await page.press("Last month earlier");
    const chosen = `Wet season: ${month("First")} to ${month("Last")}`;
    await page.reads(chosen);
    assert.ok(page.isPressed("a year", "Photo points are due after"));
    await page.press("2 years", "Photo points are due after");
    await page.go("#/", "Stony Block");
    await page.go("#/visit", "Visit");
    await page.press(chosen);
    assert.ok(page.isPressed("2 years", "Photo points are due after"));
  }));

test("a head is taped from its peg and placed by the receiver, and how far it has gone is said", () =>
  onPage(
    boot,
    {
      features: {
        h: { kind: "gully-head", name: "H1", observedOn: "2025-03-01", headDepthM: 1.2 },
        v: { kind: "visit", of: "h", observedOn: "2025-06-01", headOffsetM: 12.5 },
      },
      address: "#/visit/h",
    },
    async (page) => {
      await page.reads("The head", "12.50 m on 1 June 2025; the peg stands upstream.", "Stay off undercut walls and cracked ground.");
      await page.type("Taped from the hub peg", "11.2");
      await page.press("I stand at the head: take its position");
      await page.reads("Waiting for GPS…");
      assert.ok(page.isDisabled("Keep this position"));
      await page.stand(146.5, -20.25, 3);
      await page.clock.pass(2000);
      await page.stand(146.5, -20.25, 3);
      await page.reads("from 2 fixes. Stay here for a better one.");
      await page.press("Keep this position");
      await page.reads("Position of the head taken, ±");
      await page.press("Remove");
      await page.reads("I stand at the head: take its position");
      await page.press("I stand at the head: take its position");
      await page.stand(146.5, -20.25, 3);
      await page.press("Keep this position");
      await page.press("Save visit");
      await page.reads("Visit to H1 saved");
      const saved = (await page.kept("visit")).find((v) => v.id !== "v")!;
      assert.equal(saved.fields["headOffsetM"], 11.2);
      assert.deepEqual((saved.fields["geometry"] as { coordinates: number[] }).coordinates, [146.5, -20.25]);
    },
  ));

test("how far a head has gone back is told with its rate where there are several visits, or why it cannot be", () => {
  const steps = [
    { from: "2024-06-01", to: "2025-06-01", retreatM: 0.6, plusMinusM: 0.07, moreThanNoise: "yes" },
    { from: "2025-06-01", to: "2026-06-01", retreatM: 1.3, plusMinusM: 0.07, moreThanNoise: "yes" },
  ];
  const retreat = ({ visits }: { visits: readonly { offsetM: number }[] }) => {
    if (visits[visits.length - 1]!.offsetM > 90)
      throw { reason: "The offset is too long", path: "visits[2].offsetM", fix: "Tape it again." };
    return {
      basis: "taped",
      from: "2024-06-01",
      to: "2026-06-01",
      retreatM: 1.9,
      rateMPerYear: 0.95,
      steps: steps.slice(3 - visits.length),
    };
  };
  const visit = (observedOn: string, headOffsetM: number) => ({ kind: "visit", of: "h", observedOn, headOffsetM });
  const head = { kind: "gully-head", name: "H1", observedOn: "2024-03-01" };
  const features = { h: head, v: visit("2024-06-01", 13.1), w: visit("2025-06-01", 12.5) };
  return onPage(boot, { features, answers: { retreat }, address: "#/visit/h" }, async (page) => {
    await page.type("Taped from the hub peg", "11.2");
    await page.reads("1.30 ± 0.07 m back since 1 June 2025", "More than measurement error.", "Since 1 June 2024 1.90 m, 0.95 m a year.");
    await page.type("Taped from the hub peg", "95");
    await page.reads("The offset is too long. Tape it again.");
    assert.ok(!page.words.includes("a year"), page.words);
  });
});

test("a visit to what is not here says so", () =>
  onPage(boot, { address: "#/visit/other" }, async (page) => {
    await page.reads("This item is not on this phone.");
  }));
