// What is said while the computations work, and where they cannot.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import type { Feature } from "../base/entry.ts";
import type { LongSection, Sheets } from "../compute/sheets.ts";
import type { Model } from "../compute/model.ts";
import { drawn, type Page } from "../device/page.test.ts";
import { useCoverRanges } from "./ranges.ts";
import { useSection, useSheet } from "./usesheet.ts";

const feature = (id: string, fields: Feature["fields"] = { kind: "check-dam" }): Feature => ({
  ...{ id, property: "a", stamp: "1", struck: false, clashes: [], saw: {}, unsent: 0 },
  fields,
});
const features = [feature("D1")];
const failing = (error: unknown): Sheets => ({
  of: () => Promise.reject(error),
  sections: () => Promise.reject(error),
  across: () => Promise.reject(error),
});
const answering: Sheets = {
  of: async () => undefined,
  sections: async () => [{ thalweg: "other" }, { thalweg: "t" }] as unknown as LongSection[],
  across: async () => [],
};

test("why an item has no figures is told as the computations tell it, or that there are none", async () => {
  const Why = ({ sheets }: { sheets: Sheets }) => {
    const { sheet, why } = useSheet({ sheets, property: { id: "a" }, features }, features[0]!);
    return h("p", null, sheet ? `${sheet.figures.length} figures` : why || "Working…");
  };
  for (const [error, want] of [
    [{ reason: "They are not on this phone yet." }, "They are not on this phone yet."],
    [new Error("out of memory"), "The figures cannot be calculated now."],
    [null, "The figures cannot be calculated now."],
  ] as const)
    await drawn(h(Why, { sheets: failing(error) }), async (page) => assert.equal(page.words, want));
  await drawn(h(Why, { sheets: answering }), async (page) => assert.equal(page.words, "0 figures"));
});

test("a gully has its own long section, and none where there is none or it cannot be had", async () => {
  const Found = ({ sheets, gully }: { sheets: Sheets; gully: string | undefined }) => {
    const section = useSection({ sheets, property: { id: "a" }, features }, gully);
    return h("p", null, section === undefined ? "working" : (section?.thalweg ?? "none"));
  };
  const found = async (sheets: Sheets, gully: string | undefined) => {
    let words = "";
    await drawn(h(Found, { sheets, gully }), async (page) => void (words = page.words));
    return words;
  };
  assert.deepEqual(
    [await found(answering, "t"), await found(answering, "u"), await found(answering, undefined), await found(failing(null), "t")],
    ["t", "none", "none", "none"],
  );
  await drawn(h(Found, { sheets: answering, gully: "t" }), async (page: Page) => {
    await page.draw(h(Found, { sheets: { ...answering, sections: () => new Promise<never>(() => {}) }, gully: "other" }));
    assert.equal(page.words, "working", "it is not the last one's");
  });
});

test("the ranges of cover that can be calculated are there, without those that cannot", async () => {
  const counted = (id: string, total: number) => feature(id, { kind: "visit", coverPoints: total, coverHits: 3 });
  const model = {
    compute: async (_: string, { points }: { points: { total: number } }) => {
      if (points.total < 5) throw new Error("too few");
      return { coverPct: 30, lowPct: 10, highPct: 55, limits: "exact" };
    },
  } as unknown as Model;
  const Ranges = ({ visits }: { visits: Feature[] }) => {
    const ranges = useCoverRanges(model, visits);
    return h("p", null, ranges ? [...ranges].join() || "none" : "working");
  };
  await drawn(h(Ranges, { visits: [counted("v", 10), counted("w", 4)] }), async (page) =>
    assert.equal(page.words, "v,between 10 % and 55 %, 95 % sure"),
  );
  await drawn(h(Ranges, { visits: [] }), async (page) => assert.equal(page.words, "none"));
});
