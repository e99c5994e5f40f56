// The first screen: what was recorded today, what waits, and what to record next.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { property, self } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";

const peg = (name: string, placed = true) => ({
  kind: "peg",
  name,
  observedOn: "2026-03-01",
  ...(placed && { geometry: { type: "Point", coordinates: [146.5, -20.25] } }),
});

test("with nothing recorded the first screen says so, and offers the six ways to record", () =>
  onPage(boot, {}, async (page) => {
    await page.reads("Nothing recorded today yet", "0 entries on phone", "0 not sent yet");
    assert.equal(page.heading, "Stony Block");
    assert.deepEqual(
      ["Mark", "Line or area", "Level", "Peg out", "Photo", "Visit", "Properties"].map((way) => page.leads(way)),
      ["#/mark", "#/line", "#/level", "#/peg", "#/photo", "#/visit", "#/property"],
    );
  }));

test("what was recorded today is listed, newest first, each with what takes it back alone", () =>
  onPage(boot, { features: { a: peg("P1") } }, async (page) => {
    await page.clock.pass(1000); // what was saved together stands in one line
    await page.phone.store.capture(property, [{ feature: "b", set: peg("P2", false) }]);
    await page.reads("Today: 2 entries", "P2", "2 entries on phone", "2 not sent yet");
    const lines = page.lines("Today: 2 entries");
    assert.equal(lines.length, 2);
    const [unplaced, placed] = [lines[0]!, lines[1]!];
    assert.match(placed, /^P1 \d\d:\d\d added, not sent yet Strike out$/);
    assert.match(unplaced, /^P2 \d\d:\d\d added, not sent yet no position yet Strike out Set position$/);
    assert.equal(page.leads("Set position of P2"), "#/thing/b/edit");
    await page.press(page.presses.find((p) => p.startsWith("Strike out P1, added"))!);
    await page.reads("P1 struck out");
    assert.equal((await page.phone.store.feature("a"))!.struck, true);
    assert.equal((await page.phone.store.feature("b"))!.struck, false);
    await page.shows(() => page.presses.some((p) => p.startsWith("Restore P1")), "a way to restore it");
    await page.press(page.presses.find((p) => p.startsWith("Restore P1"))!);
    await page.reads("P1 restored");
    assert.equal((await page.phone.store.feature("a"))!.struck, false);
  }));

test("of an adopted plan only the dams that nobody touched since are struck out, after it was asked", () => {
  const dam = (name: string) => ({ kind: "check-dam", name, status: "proposed", proposedOn: "2026-03-01", plan: "p" });
  const plan = { kind: "plan", name: "Dams along G1", of: "g", plans: "dams", input: "{}", restsOn: "[]" };
  return onPage(boot, { features: { a: dam("Dam 1"), b: dam("Dam 2"), p: plan } }, async (page) => {
    const struck = async (id: string) => (await page.phone.store.feature(id))!.struck;
    await page.clock.pass(1000);
    await page.phone.store.capture(property, [{ feature: "a", set: { status: "pegged", observedOn: "2026-03-01" } }]);
    await page.reads("Today: 4 entries");
    await page.shows(() => /^Dam 1 \d\d:\d\d edited/.test(page.lines("Today: 4 entries")[0] ?? ""), "the peg");
    const press = page.presses.find((p) => p.startsWith("Strike out Dams along G1, 2 check dams proposed"))!;
    await page.press(press);
    await page.reads("Strike out 1 proposed check dam? Dam 1 was pegged since and stays.");
    assert.equal(await struck("b"), false, "nothing yet");
    await page.press("Strike out 1 check dam");
    await page.reads("1 check dam struck out, Dam 1 stays");
    assert.deepEqual([await struck("a"), await struck("b"), await struck("p")], [false, true, false]);
    await page.shows(() => !page.presses.some((p) => p.startsWith("Strike out Dams along G1")), "nothing more to strike out");
  });
});

const saved =
  (n: number) =>
  async ({ phone, clock }: Page): Promise<void> => {
    for (let i = 1; i <= n; i++) {
      await phone.store.capture(property, [{ set: peg(`P${i}`) }]);
      await clock.pass(1000);
    }
  };

test("of forty saves there is nothing more to show", () =>
  onPage(boot, { before: saved(40) }, async (page) => {
    await page.reads("Today: 40 entries");
    assert.ok(!page.presses.some((p) => p.startsWith("Show ")));
  }));

test("more than forty saves are shown when they are asked for", () =>
  onPage(boot, { before: saved(42) }, async (page) => {
    await page.reads("Today: 42 entries", "Show 2 more");
    assert.equal(page.lines("Today: 42 entries").length, 40);
    assert.ok(page.lines("Today: 42 entries")[0]!.startsWith("P42"), "the newest first");
    await page.press("Show 2 more");
    await page.shows(() => page.lines("Today: 42 entries").length === 42, "all of them");
    assert.ok(!page.presses.some((p) => p.startsWith("Show ")));
  }));

test("several properties are counted beside the way to them, one that was merged is not", () =>
  onPage(
    boot,
    { self: self("d1", { id: "lower", name: "Lower Flat" }, { id: "old", name: "Old Block", into: property }) },
    async (page) => {
      await page.reads("Properties (2)");
      await page.press("Properties (2)");
      await page.reads("Lower Flat");
    },
  ));

test("an entry that the server refused is named on the first screen's list and at its foot", () =>
  onPage(boot, { features: { a: peg("P1") } }, async (page) => {
    const [entry] = await page.entries("a");
    await page.phone.store.outbox.settle(property, [{ id: entry!.id, refused: "The name is too long.", highSeq: 0 }]);
    await page.shows(() => /added, refused/.test(page.lines("Today: 1 entry")[0] ?? ""), "refused");
    await page.shows(() => page.told.includes("The server did not accept 1 entry. Why"), "an alert");
  }));

test("what the server has is no longer said to wait", () =>
  onPage(boot, { features: { a: peg("P1") } }, async (page) => {
    await page.shows(() => / added, not sent yet /.test(page.lines("Today: 1 entry")[0] ?? ""), "that it waits");
    const [entry] = await page.entries("a");
    await page.phone.store.outbox.settle(property, [{ id: entry!.id, highSeq: 0 }]);
    await page.shows(() => /^P1 \d\d:\d\d added Strike out$/.test(page.lines("Today: 1 entry")[0] ?? ""), "that it is sent");
  }));

test("a second tap on undo takes nothing else back", () =>
  onPage(boot, { features: { a: peg("P1") } }, async (page) => {
    for (const n of [1, 2]) {
      await page.go("#/mark/peg");
      await page.press("Mark it here");
      await page.reads("Peg saved");
      const undo = page.find("button").find((b) => b.textContent === "Undo") as HTMLElement;
      undo.click();
      undo.click();
      await page.reads("Undone");
      await page.clock.pass(1000);
      const taken = (await page.phone.store.features(property)).filter((f) => f.struck);
      assert.equal(taken.length, n, "the next can be taken back, too");
      for (const { id } of taken) assert.equal((await page.entries(id)).length, 2, "recorded, and struck out once");
    }
  }));

test("what was begun is offered on the first screen: a visit, a line, a shape, a book", () =>
  onPage(
    boot,
    {
      features: {
        a: {
          kind: "check-dam",
          name: "D1",
          status: "built",
          observedOn: "2026-03-01",
          geometry: { type: "Point", coordinates: [146.5, -20.25] },
        },
      },
    },
    async (page) => {
      await page.go("#/visit/a", "Visit to D1");
      await page.press("Failed");
      await page.go("#/line/fence/line", "Fence");
      await page.stand(146.5, -20.25, 4);
      await page.press("Add where I stand");
      await page.press("Add at the cross");
      await page.go("#/shape/a", "D1");
      await page.press("To the cross");
      await page.press("2 m north");
      await page.go("#/level/n");
      await page.shows(() => page.inputs.some((l) => l.startsWith("Backsight on ")), "a new book");
      await page.type(page.inputs.find((l) => l.startsWith("Backsight on "))!, "1.5");
      await page.go("#/", "Stony Block");
      await page.reads("You began a visit to D1. It is not saved yet.", "A fence of 2 points is not saved yet.");
      await page.reads("You were editing the position of D1. It is not saved yet.", "You were keying row 1 of the level book Run 1.");
      assert.equal(page.leads("Continue the visit"), "#/visit/a");
      assert.equal(page.leads("Continue the fence"), "#/line/fence/line");
    },
  ));

test("items of other days without a position are named, three of them, and how many more there are", () => {
  const days = async (n: number, job: Parameters<typeof onPage>[2]) =>
    onPage(
      boot,
      {
        before: async ({ phone, clock }) => {
          for (let i = 1; i <= n; i++) await phone.store.capture(property, [{ set: peg(`P${i}`, false) }]);
          await clock.pass(24 * 3_600_000);
        },
      },
      job,
    );
  return days(3, async (page) => {
    await page.reads("Without a position: 3 items recorded before", "Nothing recorded today yet");
    assert.ok(!page.words.includes("last in the list of items"), page.words);
  })
    .then(() =>
      days(4, (page) => page.reads("Without a position: 4 items recorded before", "1 more is last in the list of items on the map.")),
    )
    .then(() => days(5, (page) => page.reads("2 more are last in the list of items on the map.")));
});

test("a browser that has promised nothing is told on the first screen until it has", () =>
  onPage(boot, { before: async ({ phone }) => void (phone.kept = false) }, async (page) => {
    await page.reads("The browser has not promised to keep what is on this phone. Send or save to a file every day.");
  }));
