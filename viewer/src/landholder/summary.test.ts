// What a landholder reads first, and the photos of each place.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../device/page.test.ts";
import type { Item, Land } from "./land.ts";
import { Photos, PhotoSheet } from "./photos.tsx";
import type { Action } from "./state.ts";
import { StateSign, Summary } from "./summary.tsx";

const watch = (n: number) =>
  Array.from({ length: n }, (_, i) => ({ id: `w${i + 1}`, text: `Look at W${i + 1}.`, state: "attention" as const }));
const land = (more: Partial<Land>): Land =>
  ({
    property: { name: "Stony Block" },
    inspected: [],
    done: [],
    kinds: [],
    hazards: [],
    watch: [],
    works: [],
    others: [],
    sections: [],
    count: 0,
    ...more,
  }) as Land;

test("what was done, inspected, is dangerous and is to be watched stands in this order", async () => {
  const acts: Action[] = [];
  await drawn(
    h(Summary, {
      land: land({
        done: [{ count: 1200, text: "check dams built" }] as never,
        inspected: ["Inspected in May.", "All but one."],
        hazards: [{ id: "h", text: "A deep head.", state: "danger" }] as never,
        watch: watch(6) as never,
      }),
      act: (a) => acts.push(a),
    }),
    async (page) => {
      assert.match(
        page.words,
        /^In short 1 200 check dams built Inspected in May\. All but one\. Hazards A deep head\. What to watch for now /,
      );
      assert.deepEqual(page.images, ["Hazard", ...Array<string>(6).fill("Needs attention")]);
      await page.reads("1 more to watch for");
      await page.press(page.presses.find((p) => p.includes("Look at W2."))!);
      assert.deepEqual(acts, [{ do: "select", id: "w2", from: "list" }]);
    },
  );
  await drawn(h(Summary, { land: land({ watch: watch(5) as never }), act: () => {} }), async (page) => {
    assert.ok(!page.words.includes("more to watch for") && !page.words.includes("Hazards"), page.words);
    assert.equal(page.find(".done").length, 0, "no list of nothing");
  });
  await drawn(h(Summary, { land: land({ watch: watch(201) as never }), act: () => {} }), (page) =>
    page.reads("196 more to watch for", "– and 1 more, in the list of works."),
  );
  await drawn(h(Summary, { land: land({ watch: watch(200) as never }), act: () => {} }), async (page) =>
    assert.ok(!page.words.includes("– and ")),
  );
  for (const n of [50, 51])
    await drawn(h(Summary, { land: land({ hazards: watch(n) as never }), act: () => {} }), async (page) => {
      assert.equal(page.presses.length, n === 50 ? 50 : 51, "at fifty there is no more to show");
      assert.equal(page.find("li").length, n === 50 ? 50 : 51);
    });
  await drawn(h(Summary, { land: land({}), act: () => {} }), async (page) => assert.equal(page.words, "In short"));
  await drawn(h(StateSign, { state: undefined }), async (page) => assert.deepEqual(page.images, []));
});

const photo = (sha: string, on?: string) => ({ sha, ...(on && { on }) });
const item = (id: string, photos: object[]) =>
  ({ id, kind: "check-dam", name: id, geometry: null, wrong: [], plain: [], facts: [], photos }) as unknown as Item;

test("the first and the newest photo stand side by side, the others behind a fold", async () => {
  const photos = (all: object[]) => h(Photos, { item: item("D1", all), name: "D1", link: "/l/x" });
  await drawn(photos([]), async (page) => assert.equal(page.words, ""));
  await drawn(photos([photo("a", "2024-01-05")]), async (page) => {
    assert.equal(page.words, "5 January 2024");
    const [shown] = page.find("img");
    assert.deepEqual(
      [shown!.getAttribute("alt")!.replace(/\u00a0/g, " "), shown!.getAttribute("src")],
      ["D1, 5 January 2024", "/l/x/photos/a?small=1"],
    );
    assert.equal(page.find("a")[0]!.getAttribute("href"), "/l/x/photos/a");
  });
  await drawn(photos([photo("a", "2024-01-05"), photo("b", "2025-01-05"), photo("c", "2026-01-05")]), (page) =>
    page.reads("First: 5 January 2024 Newest: 5 January 2026 1 more photo between them"),
  );
  await drawn(photos([photo("x"), photo("a", "2024-01-05"), photo("b", "2025-01-05"), photo("c", "2026-01-05")]), (page) =>
    page.reads("2 more photos (1 day not known)"),
  );
  await drawn(photos([photo("x"), photo("a", "2024-01-05")]), (page) => page.reads("5 January 2024 1 more photo (day not known)"));
  await drawn(photos([photo("x"), photo("y")]), (page) => page.reads("day not known 1 more photo (day not known)"));
});

test("places with a first and a newest photo come before the others, six of them in sight", () => {
  const items = [
    item("A", [photo("a", "2024-01-05")]),
    item("N", []),
    ...["B", "C", "D", "E", "F", "G"].map((id) => item(id, [photo(id, "2024-01-05"), photo(`${id}2`, "2025-01-05")])),
  ];
  const sheet = (of: Item[]) => h(PhotoSheet, { items: of, nameOf: (i: Item) => i.name ?? "", link: "/l/x" });
  return drawn(sheet(items), async (page) => {
    assert.deepEqual(
      page.find(".photosheet > .photosets h3").map((e) => e.textContent),
      ["B", "C", "D", "E", "F", "G"],
    );
    await page.reads("Photos of 1 more places");
    assert.deepEqual(
      page.find("details .photosets h3").map((e) => e.textContent),
      ["A"],
    );
    await page.draw(sheet(items.slice(1)));
    assert.ok(!page.words.includes("more places"), page.words);
    await page.draw(sheet([item("N", [])]));
    assert.equal(page.words, "");
  });
});
