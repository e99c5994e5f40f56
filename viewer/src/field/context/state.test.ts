import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../../base/entry.ts";
import { StorageError, type Counts } from "../../storage/store.ts";
import { daysWaiting, loudest } from "../shell/alert.ts";
import { reduce, start, type State } from "./state.ts";

const feature = (id: string, more: Partial<Feature> = {}): Feature => ({
  id,
  property: "p",
  fields: {},
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
  ...more,
});
const on = (state: State, ...actions: Parameters<typeof reduce>[1][]): State => actions.reduce(reduce, state);
const opened = on(start("#/"), { do: "property", property: { id: "p", name: "Stony Block" } });

test("a feature that changed takes its place, a new one goes to the end", () => {
  const state = on(
    opened,
    { do: "features", property: "p", features: [feature("a"), feature("b")] },
    { do: "changed", features: [feature("c"), feature("a", { unsent: 1 }), feature("x", { property: "q" })] },
  );
  assert.deepEqual(
    state.features.map((f) => [f.id, f.unsent]),
    [
      ["a", 1],
      ["b", 0],
      ["c", 0],
    ],
  );
});

test("features that were asked for before another property was chosen are not shown as its own", () => {
  const state = on(
    opened,
    { do: "property", property: { id: "q", name: "Lower Flat" } },
    { do: "features", property: "p", features: [feature("a")] },
  );
  assert.deepEqual(state.features, []);
  assert.equal(state.featuresRead, false);
});

test("what was said belongs to the screen that the save led to, never to a drawing or a second one", () => {
  const saved = on(start("#/mark"), { do: "say", words: "Peg saved", undo: [{ feature: "f", entry: "e" }] });
  const home = on(saved, { do: "go", address: "#/" });
  assert.equal(home.said.undo?.length, 1);
  assert.equal(on(home, { do: "go", address: "#/" }).said.words, "Peg saved");
  const chooser = on(home, { do: "go", address: "#/line" });
  assert.deepEqual([chooser.said.words, chooser.said.undo], ["", undefined]);
  assert.equal(on(saved, { do: "go", address: "#/line/rip-line/line" }).said.words, "");
  assert.equal(on(saved, { do: "go", address: "#/shape/f" }).said.words, "");
  assert.equal(on(home, { do: "property", property: { id: "q", name: "Lower Flat" } }).said.words, "", "it is of another property");
  assert.equal(on(chooser, { do: "say", words: "Peg saved" }).said.words, "Peg saved");
});

test("what was said stays behind when the officer herself goes on", () => {
  const booked = on(start("#/level/b"), { do: "say", words: "Run 1 saved", undo: [{ feature: "f", entry: "e" }] }, { do: "acted" });
  assert.equal(booked.said.undo?.length, 1, "on its own screen it stays, and so does its Undo");
  assert.equal(on(booked, { do: "go", address: "#/level" }).said.words, "");
});

test("a refusal stands until the officer does something about it", () => {
  const refused = on(start("#/visit/d"), { do: "say", words: "Not saved: choose the condition", refusal: true });
  assert.equal(refused.said.words, "Not saved: choose the condition");
  const typed = on(refused, { do: "acted" });
  assert.equal(typed.said.words, "");
  assert.equal(
    on(typed, { do: "say", words: "Not saved: choose the condition", refusal: true }).said.n,
    refused.said.n + 1,
    "refused again it is news",
  );
  assert.equal(on(refused, { do: "go", address: "#/" }).said.words, "", "and of a form that was left it says nothing");
});

test("the same words said twice are news", () => {
  const state = on(opened, { do: "say", words: "Peg saved" }, { do: "say", words: "Peg saved" });
  assert.equal(state.said.n, 2);
});

const counts = (more: Partial<Counts>): Counts => ({
  entries: 5,
  unsent: 0,
  refused: 0,
  photosUnsent: 0,
  photoBytesUnsent: 0,
  oldestUnsent: null,
  ...more,
});
const now = new Date("2026-11-25T09:00:00+10:00");
const ago = (days: number) => new Date(now.getTime() - days * 86_400_000);

test("days of waiting count from the oldest of what is unsent", () => {
  assert.equal(daysWaiting(counts({}), now), 0);
  assert.equal(daysWaiting(counts({ photosUnsent: 1, oldestUnsent: ago(9) }), now), 9, "a photo waits like an entry");
  assert.equal(daysWaiting(counts({ unsent: 1, oldestUnsent: ago(2.9) }), now), 2);
  assert.equal(daysWaiting(counts({ unsent: 1, oldestUnsent: ago(-1) }), now), 0, "a clock that was put back");
});

test("the loudest trouble is said, and it leads to where something can be done", () => {
  const sync = { state: "refused" as const, lastSent: null, clockOffS: 0, words: "", loading: null };
  const waiting = { do: "counts" as const, counts: counts({ unsent: 2, oldestUnsent: ago(4) }) };
  const cases: readonly [string, State, string | undefined][] = [
    ["all is well", opened, undefined],
    ["four days unsent", on(opened, waiting), "#/status"],
    ["two days unsent", on(opened, { do: "counts", counts: counts({ unsent: 2, oldestUnsent: ago(2) }) }), undefined],
    [
      "two days unsent, not kept",
      on(
        opened,
        { do: "counts", counts: counts({ unsent: 2, oldestUnsent: ago(2) }) },
        { do: "storage", storage: { kept: false, usedBytes: 0, freeBytes: 1 } },
      ),
      "#/status",
    ],
    ["rights taken away", on(opened, waiting, { do: "sync", sync }), "#/status"],
    [
      "captures gone",
      on(opened, waiting, { do: "sync", sync }, { do: "trouble", trouble: new StorageError("gone", "Gone.", "Enrol."), cloned: false }),
      "#/enrol",
    ],
    ["not let in yet", on(opened, { do: "sync", sync: { ...sync, state: "no-answer", stopped: true } }), "#/status"],
    ["out of reach", on(opened, { do: "sync", sync: { ...sync, state: "no-answer", stopped: false } }), undefined],
    ["an entry refused", on(opened, { do: "counts", counts: counts({ refused: 1 }) }), "#/status"],
    ["cloned", on(opened, { do: "trouble", trouble: null, cloned: true }), "#/enrol"],
  ];
  for (const [name, state, route] of cases) assert.equal(loudest(state, now)?.route, route, name);
});
