// What changes on the landholder's page: what is shown, what is chosen, what is taken off the map.

import assert from "node:assert/strict";
import test from "node:test";
import type { Item, Land } from "./land.ts";
import { type Action, isShown, reduce, startWith, type State, type Trouble } from "./state.ts";

const item = (id: string, kind = "check-dam", status = "built"): Item => ({
  ...{ id, kind, status, geometry: null, wrong: [], plain: [], facts: [], photos: [] },
});
const land = (works: Item[], others: Item[] = [], count = works.length + others.length): Land => ({
  ...{ property: { name: "Stony Block" }, inspected: [], done: [], kinds: [], hazards: [], watch: [], sections: [] },
  ...{ works, others, count },
});
const [d1, d2, bank] = [item("D1"), item("D2", "check-dam", "pegged"), item("B1", "whoa-boy")];
const gate = item("G1", "gate");
const part = land([d1], [], 4);
const whole = land([d1, d2, bank], [gate]);
const after = (state: State, ...actions: Action[]) => actions.reduce(reduce, state);
const select = (id: string | null): Action => ({ do: "select", id, from: "list" });

test("a page that came with the whole of its land asks for nothing, and any other does", () => {
  assert.deepEqual(
    [null, part, whole].map((came) => startWith(came).asking),
    [true, true, false],
  );
});

test("parts of a land are shown as they come, and take nothing away of one that is whole", () => {
  const more = land([d1, d2], [], 4);
  for (const came of [null, part]) assert.equal(after(startWith(came), { do: "part", land: more }).land, more);
  assert.equal(after(startWith(whole), { do: "part", land: more }).land, whole);
});

test("what is chosen stays so in a newer land, as long as it is there", () => {
  const now = (id: string, newer: Land) => after(startWith(whole), { do: "ask" }, select(id), { do: "show", land: newer });
  assert.deepEqual([now("D1", part).selected, now("D2", part).selected, now("G1", whole).selected], ["D1", null, "G1"]);
  assert.deepEqual([now("D1", part).land, now("D1", part).asking], [part, false]);
});

test("what a link no longer shows is taken off the screen; what only went wrong on the way takes nothing", () => {
  const gone: Record<Trouble, boolean> = { ended: true, unconfirmed: true, unknown: true, offline: false, broken: false };
  for (const [trouble, takes] of Object.entries(gone) as [Trouble, boolean][]) {
    const now = after(startWith(whole), { do: "ask" }, select("D1"), { do: "trouble", trouble });
    assert.deepEqual(
      [now.land, now.selected, now.asking, now.trouble],
      [takes ? null : whole, takes ? null : "D1", false, trouble],
      trouble,
    );
    assert.equal(after(now, { do: "show", land: whole }).trouble, null);
  }
});

test("kinds and stages are taken off the map and put back, and what is taken off is chosen no more", () => {
  const shown = (state: State) => whole.works.filter((w) => isShown(state, w)).map((w) => w.id);
  const kind = (of: string): Action => ({ do: "toggle-kind", kind: of });
  const pegged: Action = { do: "toggle-status", status: "pegged" };
  const from = startWith(whole);
  assert.deepEqual(shown(from), ["D1", "D2", "B1"]);
  assert.deepEqual(shown(after(from, kind("check-dam"))), ["B1"]);
  assert.deepEqual(shown(after(from, kind("check-dam"), kind("whoa-boy"), kind("check-dam"))), ["D1", "D2"]);
  assert.deepEqual(shown(after(from, pegged)), ["D1", "B1"]);
  assert.deepEqual(shown(after(from, pegged, kind("whoa-boy"), pegged)), ["D1", "D2"]);
  const chosen = (id: string) => after(from, select(id), pegged, kind("gate")).selected;
  assert.deepEqual([chosen("D1"), chosen("D2"), chosen("G1")], ["D1", null, "G1"]);
});
