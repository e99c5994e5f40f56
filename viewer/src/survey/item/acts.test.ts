import assert from "node:assert/strict";
import test from "node:test";
import type { Entry, Feature, Fields } from "../../base/entry.ts";
import type { Recorded } from "../../storage/store.ts";
import { actsOf, withUndone } from "./acts.ts";

const feature = (id: string, fields: Fields, struck = false): Feature => ({
  id,
  property: "p",
  fields,
  struck,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
});
let seq = 0;
const said = (feature: string, savedMS: number, what: Pick<Entry, "set" | "strike">, more: Partial<Recorded> = {}): Recorded => ({
  entry: {
    v: 1,
    id: `e${++seq}`,
    property: "p",
    feature,
    device: "d",
    deviceSeq: seq,
    stamp: String(savedMS),
    seenAt: "",
    author: "",
    ...what,
  },
  savedMS,
  waits: true,
  refused: false,
  ...more,
});
const photo = "a".repeat(64);
const all = [
  feature("dam", {
    kind: "check-dam",
    name: "Dam 3",
    crestHeightM: 0.5,
    status: "failed",
    geometry: { type: "Point", coordinates: [1, 2] },
  }),
  feature("peg", { kind: "peg" }, true),
  feature("photo", { kind: "visit", of: "dam", photos: [photo] }),
  feature("visit", { kind: "visit", of: "dam", condition: "failed", photos: [photo] }),
  feature("run", { kind: "level-run", name: "Run 1", rows: [{ point: "A" }] }),
];

test("each save is told as what it was, newest first, and taken back as such", () => {
  const acts = actsOf(
    [
      said("peg", 1, { set: { kind: "peg" } }),
      said("dam", 2, { set: { crestHeightM: 0.4 } }),
      said("dam", 3, { set: { crestHeightM: 0.5, geometry: { coordinates: [1, 2], type: "Point" }, accuracyM: 3 } }, { waits: false }),
      said("photo", 4, { set: { kind: "visit", of: "dam", photos: [photo] } }),
      said("visit", 5, { set: { kind: "visit", of: "dam", condition: "failed" } }),
      said("dam", 5, { set: { status: "failed" } }),
      said("peg", 6, { strike: true }, { waits: false, refused: true }),
      said("gone", 7, { set: { kind: "peg" } }),
    ],
    all,
  );
  assert.deepEqual(
    acts.map((a) => [a.name, a.did, a.back, a.entries.length, a.waits]),
    [
      ["Peg", "struck out", "undo", 1, 0],
      ["Visit: Dam 3", "visited", "strike out", 2, 2],
      ["Photo: Dam 3", "taken", "strike out", 1, 1],
      ["Dam 3", "edited: crest above bed, position", "undo", 1, 0],
      ["Dam 3", "edited: crest above bed", undefined, 1, 1], // nothing of it stands
      ["Peg", "added", "restore", 1, 1],
    ],
  );
  assert.equal(acts[0]!.refused, 1);
});

test("a level book that is saved again and again is told once, with all its entries", () => {
  const rows = (n: number) => ({ set: { rows: Array.from({ length: n }, () => ({ point: "A" })) } });
  const acts = actsOf(
    [
      said("run", 1, { set: { kind: "level-run" } }),
      said("run", 2, rows(1)),
      said("run", 3, rows(2), { waits: false }),
      said("dam", 4, { set: { notes: "x" } }),
      said("run", 5, rows(1)),
    ],
    all,
  );
  assert.deepEqual(
    acts.map((a) => [a.did, a.back, a.entries.length, a.waits]),
    [
      ["rows booked", undefined, 1, 1],
      ["edited: notes", undefined, 1, 1],
      ["rows booked", undefined, 2, 1],
      ["added", "strike out", 1, 1],
    ],
  );
});

test("an undo is called one, and what it undid offers no second undo", () => {
  const there = { type: "Point", coordinates: [1, 2] },
    moved = { type: "Point", coordinates: [1.1, 2] };
  const head = feature("head", { kind: "gully-head", name: "Top head", geometry: there, positionBasis: "GPS", accuracyM: 4 });
  const edit = said("head", 1, { set: { geometry: moved, positionBasis: "GPS", accuracyM: 4 } });
  const undo = said("head", 2, { set: { geometry: there, positionBasis: "GPS", accuracyM: 4 } });
  const acts = actsOf([edit, undo], [head], withUndone(undefined, [{ feature: "head", entry: undo.entry.id }]));
  assert.deepEqual(
    acts.map((a) => [a.did, a.back]),
    [
      ["undone: position", "undo"],
      ["edited: position", undefined],
    ],
  );
});
