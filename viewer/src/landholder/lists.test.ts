// The landholder's lists, as they are read aloud and reached by keyboard.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../device/page.test.ts";
import { ItemPanel } from "./itempanel.tsx";
import type { Item, Kind, Land } from "./land.ts";
import type { Action } from "./state.ts";
import { WorkList } from "./worklist.tsx";

const kind = (name: string, label: string, work: boolean): Kind => ({
  name,
  label,
  plural: `${label}s`,
  work,
  mark: "",
  colour: "#333333",
  what: `What a ${label.toLowerCase()} is.`,
  care: `Leave the ${label.toLowerCase()} alone.`,
});
const item = (id: string, more: Partial<Item> = {}): Item => ({
  id,
  kind: "check-dam",
  name: id,
  status: "built",
  geometry: null,
  wrong: [],
  plain: [],
  facts: [],
  photos: [],
  ...more,
});
const land = (works: Item[], others: Item[] = []): Land => ({
  property: { name: "Stony Block" },
  inspected: [],
  done: [],
  kinds: [kind("check-dam", "Check dam", true), kind("hazard", "Hazard", false), kind("gate", "Gate", false)],
  hazards: [],
  watch: [],
  works,
  others,
  sections: [],
  count: works.length + others.length,
});
const { status: _, ...unworked } = item("x");
const list = (works: Item[], others: Item[] = [], selected: string | null = null, acts: Action[] = [], shown = works) =>
  h(WorkList, { land: land(works, others), works: shown, selected, act: (a: Action) => void acts.push(a) });

test("works are listed by kind, those that failed first, each with how it stands", () =>
  drawn(list([item("D1"), item("D2", { state: "failed", status: "failed" }), item("D3", { state: "attention" })]), async (page) => {
    assert.match(page.words, /^List of works 3 check dams 2 to watch /);
    assert.deepEqual(
      page.presses.filter((p) => /D\d/.test(p)).map((p) => /D\d/.exec(p)![0]),
      ["D2", "D3", "D1"],
    );
    assert.match(page.presses.find((p) => p.includes("D1"))!, /[Bb]uilt/);
  }));

test("what has nothing to read is not listed; a hazard is; a press chooses", async () => {
  const acts: Action[] = [];
  await drawn(
    list(
      [item("D1")],
      [
        { ...unworked, id: "H1", name: "H1", kind: "hazard" },
        { ...unworked, id: "G1", name: "G1", kind: "gate" },
      ],
      "D1",
      acts,
    ),
    async (page) => {
      assert.ok(page.words.includes("1 hazard") && !page.words.includes("G1"), page.words);
      const dam = page.presses.find((p) => p.includes("D1"))!;
      assert.ok(page.isPressed(dam));
      const hazard = page.presses.find((p) => p.includes("H1"))!;
      assert.ok(!page.isPressed(hazard));
      await page.press(hazard);
      assert.deepEqual(acts, [{ do: "select", id: "H1", from: "list" }]);
    },
  );
});

test("with no works there is no list, and with all taken off the map it says why", async () => {
  await drawn(list([]), async (page) => assert.equal(page.words, ""));
  await drawn(list([item("D1")], [], null, [], []), async (page) =>
    assert.ok(page.words.includes("All works are taken off the map."), page.words),
  );
});

test("care is told of what stands, not of what is still to be built", async () => {
  const panel = (one: Item, closed = () => {}) =>
    h(ItemPanel, { item: one, kind: kind("check-dam", "Check dam", true), link: "/l/x", takeFocus: false, close: closed });
  let closed = 0;
  await drawn(
    panel(item("D1", { state: "failed", wrong: ["The crest is gone."], facts: [{ label: "Height", text: "0.4 m" }] }), () => closed++),
    async (page) => {
      await page.reads("The crest is gone.", "What to look after", "Leave the check dam alone.");
      assert.deepEqual(page.facts, { Height: "0.4 m" });
      await page.press(page.presses.find((p) => p.startsWith("Close "))!);
      assert.equal(closed, 1);
    },
  );
  await drawn(panel(item("D1", { status: "proposed" })), async (page) => assert.ok(!page.words.includes("What to look after"), page.words));
});
