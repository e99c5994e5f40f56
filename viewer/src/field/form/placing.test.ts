// A mark's position: how good it is said to be, when it is refused, and when it is saved again.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";

const lon = 146.5,
  lat = -20.25;
const stand = async (page: Page, eastM: number, accuracyM: number, times = 1) => {
  for (let i = 0; i < times; i++) {
    await page.clock.pass(2000);
    await page.stand(lon + eastM / 104_440, lat, accuracyM);
  }
};
const pegAt = async (page: Page) => {
  const { fields } = (await page.kept("peg"))[0]!;
  const place = fields["geometry"] as { coordinates: number[] } | undefined;
  return place && [Math.round((place.coordinates[0]! - lon) * 104_440), fields["accuracyM"]];
};

test("a position is saved while it is good enough, and a poor one is said to be poor", () =>
  onPage(boot, { address: "#/mark/peg" }, async (page) => {
    await page.reads("Mark a peg", "Waiting for GPS…");
    await stand(page, 0, 51);
    await page.reads("GPS is too poor to save a position. Wait under open sky", "±51 m mean of 1 fix");
    await stand(page, 0, 10);
    await page.shows(() => !page.words.includes("GPS is too poor"), "good enough");
    await page.press("Mark it here");
    await page.reads("Peg saved", "still getting better while this is open");
    assert.ok(!page.words.includes("without a position"));
    assert.equal((await pegAt(page))![0], 0);
    await stand(page, 0, 3, 5);
    await page.press("Save");
    await page.shows(async () => Number((await pegAt(page))![1]) < 10, "the better one");
  }));

test("a position that would be refused is taken when the officer says so", () =>
  onPage(boot, { address: "#/mark/peg" }, async (page) => {
    await stand(page, 0, 600);
    await page.reads("No position: The phone gives its position only to within 600 m.");
    await page.press("Save anyway");
    assert.ok(!page.presses.includes("Save anyway"));
    await stand(page, 0, 600);
    await page.press("Mark it here");
    await page.shows(async () => (await pegAt(page))?.[1] === 600, "as rough as it is");
  }));

test("a refused position is not saved, and what is marked lacks one", () =>
  onPage(boot, { address: "#/mark/peg" }, async (page) => {
    await stand(page, 0, 60);
    await page.press("Mark it here");
    await page.reads("Peg saved, without a position yet");
    assert.equal(await pegAt(page), undefined);
    await page.press("Save anyway");
    await page.shows(async () => (await pegAt(page)) !== undefined, "taken now");
    await page.reads("Position of the peg saved");
  }));

test("a position that comes later is saved at once; one of another place is not", () =>
  onPage(boot, { address: "#/mark/peg" }, async (page) => {
    await page.press("Mark it here");
    await page.reads("Peg saved, without a position yet");
    await stand(page, 0, 12);
    await page.reads("Position of the peg saved", "GPS is poor. Wait here under open sky");
    assert.deepEqual((await pegAt(page))![0], 0);
    for (let east = 10; east <= 120; east += 5) await stand(page, east, 4);
    await page.reads("as it was before you moved on");
    assert.deepEqual((await pegAt(page))![0], 0);
    await page.press("Save");
    await page.shows(() => page.address === "#/", "done");
    assert.deepEqual((await pegAt(page))![0], 0, "where it was marked");
  }));

test("an item without a position is given one where the officer stands", () =>
  onPage(boot, { features: { p: { kind: "peg", name: "P1", observedOn: "2026-03-01" } }, address: "#/thing/p" }, async (page) => {
    await page.reads("No position recorded.");
    await page.press("Set position");
    await page.reads("Position");
    assert.ok(page.isDisabled("It is where I stand"));
    await stand(page, 0, 4);
    await page.press("It is where I stand");
    await page.reads("Position saved");
    assert.deepEqual(await pegAt(page), [0, 4]);
    await page.go("#/thing/p", "P1");
    await page.reads("Here as near as GPS can tell; your GPS ±4 m");
    for (let east = 20; east <= 300; east += 20) await stand(page, east, 4);
    await page.reads("300 m west, 270° the arrow has north at the top; your GPS ±4 m");
    assert.ok(!page.words.includes("No position recorded."));
  }));
