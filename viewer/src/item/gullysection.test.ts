// The long section on a gully's page: what is said below the drawing.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import type { Feature, Fields } from "../base/entry.ts";
import type { LongSection } from "../compute/sheets.ts";
import { drawn, type Page } from "../device/page.test.ts";
import { GullySection } from "./gullysection.tsx";

const feature = (id: string, fields: Fields): Feature => ({
  ...{ id, property: "a", stamp: "1", struck: false, clashes: [], saw: {}, unsent: 0 },
  fields,
});
const gully = feature("t", { kind: "thalweg", name: "North gully" });
type Dam = LongSection["dams"][number];
const dam = (id: string, more: Partial<Dam> = {}): Dam => ({
  ...{ id, name: id, status: "built", chainageM: 8, chainageBasis: "taped", toeLevelM: 100.4, crestLevelM: 100.8, basis: "levelled" },
  ...more,
});
const section = (dams: Dam[], more: Partial<LongSection> = {}): LongSection => ({
  ...{ thalweg: "t", lengthM: 40, proven: true, notes: [], pairs: [], dams },
  bed: [
    { chainageM: 0, levelM: 100 },
    { chainageM: 40, levelM: 102 },
  ],
  ...more,
});
const shown = (is: LongSection | null, job: (page: Page) => Promise<void>, others: Feature[] = [], cautions: { text: string }[] = []) =>
  drawn(h(GullySection, { gully, features: [gully, ...others], section: is, cautions: cautions as never }), job);
/** What is said in sentences. */
const said = async (...is: Parameters<typeof shown> extends [infer S, unknown, ...infer Rest] ? [S, ...Rest] : never) => {
  let words: string[] = [];
  const [first, ...rest] = is;
  await shown(
    first,
    async (page) => {
      words = page.find("p").map((p) => p.textContent!.replace(/\u00a0/g, " "));
    },
    ...rest,
  );
  return words;
};
const { toeLevelM: _, crestLevelM: __, ...unlevelled } = dam("D2");

test("a gully of which nothing is levelled has no section, and one point on the bed draws none", async () => {
  for (const none of [null, section([], { bed: [] })]) await shown(none, async (page) => assert.equal(page.words, ""));
  assert.deepEqual(await said(section([], { bed: [{ chainageM: 0, levelM: 100 }] })), [
    "One point on the bed so far. A second makes a section.",
  ]);
});

test("a section that is proven and built is drawn, and nothing is said of it", () =>
  shown(section([dam("D1")]), async (page) => {
    await page.reads("Long section", "Levels of the bed: 2");
    assert.ok(
      page.images.some((name) => name.includes("North gully")),
      page.images.join(),
    );
    assert.deepEqual(page.find("p"), []);
  }));

test("what is dashed, planned, in outline or noted is said, and a caution of the page not twice", async () => {
  assert.deepEqual(await said(section([dam("D1")], { proven: false })), [
    "Drawn dashed: these levels are not yet checked by a closed level run.",
  ]);
  assert.deepEqual(await said(section([dam("D1", { status: "proposed" })])), ["Dams drawn in outline are planned, not built yet."]);
  assert.deepEqual(await said(section([], { notes: ["It was booked twice.", "It falls."] }), [], [{ text: "It falls." }]), [
    "It was booked twice.",
  ]);
  const height = (basis: string) => feature("D2", { kind: "check-dam", crestHeightM: 0.4, crestHeightBasis: basis });
  assert.deepEqual(await said(section([unlevelled]), [height("from plan")]), ["Crest not levelled, drawn as high as planned: D2."]);
  assert.deepEqual(await said(section([{ ...unlevelled, name: "" }]), [height("taped")]), [
    "Crest not levelled, drawn as high as measured by hand: a dam, unnamed.",
  ]);
});
