// Where a peg stands: by the tape and the level, beside what the receiver and the table say.

import assert from "node:assert/strict";
import test from "node:test";
import type { Types } from "../../compute/types/index.ts";
import { onPage, type Page } from "../../device/page.test.ts";
import { reduced } from "../levelbook/level.test.ts";
import { boot } from "../shell/boot.tsx";

const run = {
  kind: "level-run",
  name: "Run 1",
  observedOn: "2026-03-01",
  instrument: "automatic level",
  rows: [{ point: "BM1", bs: 1.5, knownLevelM: 100 }],
};
const reading = ({ instrumentLevelM, targetLevelM, readM }: Types["staff-reading"]["input"]) => ({
  readingM: instrumentLevelM - targetLevelM,
  ...(readM != null && { levelM: instrumentLevelM - readM, offM: instrumentLevelM - readM - targetLevelM }),
});
const answers = { "level-run": reduced, "staff-reading": reading };
const lon = 146.5,
  lat = -20.25;
export const stand = async (page: Page, eastM: number, times = 1) => {
  for (let i = 0; i < times; i++) {
    await page.clock.pass(3000);
    await page.stand(lon + eastM / 104_440, lat, 4);
  }
};

test("a peg stands where the staff was read, though the officer has walked on", () =>
  onPage(boot, { answers, features: { r: run }, address: "#/peg/dams/r" }, async (page) => {
    await stand(page, 0);
    await page.type("You read", "1.25");
    await page.reads("Position ±4 m, mean of 1 fix. Its height is never a level.");
    for (let east = 5; east <= 100; east += 5) await stand(page, east);
    await page.reads("where the staff was read. Its height is never a level.");
    await page.press("Peg");
    await page.reads("Dam 1 pegged");
    const east = ((await page.kept("check-dam"))[0]!.fields["geometry"] as { coordinates: number[] }).coordinates[0]!;
    assert.ok(Math.abs(east - lon) < 1e-6);
    await stand(page, 100, 2);
    await page.shows(() => !page.words.includes("where the staff was read"), "the next begins where she is");
  }));

test("a peg just after GPS has jumped is asked about, and stands where the receiver settles", () =>
  onPage(boot, { answers, features: { r: run }, address: "#/peg/dams/r" }, async (page) => {
    await stand(page, 0, 4);
    await page.type("You read", "1.25");
    await stand(page, 200, 1);
    await page.reads("GPS has jumped: the position is still settling.");
    await page.press("Peg");
    await page.reads("GPS has jumped and is still settling. Wait a few seconds and press again.");
    assert.deepEqual(await page.kept("check-dam"), []);
    await stand(page, 200, 2);
    await page.shows(() => !page.words.includes("still settling"), "it has settled");
    await page.press("Peg");
    await page.reads("Dam 1 pegged");
    const eastOf = async (n: number) =>
      ((await page.kept("check-dam"))[n]!.fields["geometry"] as { coordinates: number[] }).coordinates[0]!;
    assert.ok(Math.abs((await eastOf(0)) - lon - 200 / 104_440) < 1e-6, "where the receiver settled");
    await stand(page, 200, 4);
    await page.type("You read", "0.85");
    await stand(page, 400, 1);
    await page.press("Peg");
    await page.press("Save it at the place before the jump");
    await page.shows(async () => (await page.kept("check-dam")).length === 2, "the officer's own choice");
  }));
