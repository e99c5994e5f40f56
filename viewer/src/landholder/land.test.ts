// What the server tells of a land: read from its answer, counted, and found again.

import assert from "node:assert/strict";
import test from "node:test";
import { type Index, type Item, isWhole, itemOf, type Kind, kindIndex, type Land, landOf, listNames, opens, readIndex } from "./land.ts";

const item = (id: string, more: Partial<Item> = {}): Item => ({
  ...{ id, kind: "check-dam", geometry: null, wrong: [], plain: [], facts: [], photos: [] },
  ...more,
});
const head = { property: { name: "Stony Block" }, inspected: [], done: [], kinds: [] };
const lists = Object.fromEntries(listNames.map((name) => [name, []]));
const blocks = Object.fromEntries(listNames.map((name) => [name, { count: 0, names: [] }]));

test("an answer is a land with all its lists, an index of their blocks, or nothing", () => {
  assert.ok(readIndex({ ...head, ...lists }));
  assert.ok(readIndex({ ...head, blocks }));
  for (const answer of [null, undefined, 5, "land", [], {}, head, { ...head, blocks: {} }]) assert.equal(readIndex(answer), null);
  for (const name of ["property", "inspected", "done", "kinds"]) {
    assert.equal(readIndex({ ...head, ...lists, [name]: undefined }), null, name);
    assert.equal(readIndex({ ...head, ...lists, [name]: {} }), null, name);
  }
  for (const name of listNames) {
    assert.equal(readIndex({ ...head, ...lists, [name]: undefined }), null, name);
    assert.equal(readIndex({ ...head, blocks: { ...blocks, [name]: undefined } }), null, name);
  }
});

test("a land of blocks has what has come, and counts what there is", () => {
  const index = {
    ...head,
    blocks: { ...blocks, works: { count: 3, names: ["w1", "w2"] }, others: { count: 2, names: ["o1"] } },
  } as unknown as Index;
  const ids = ({ works, others, count }: Land) => [works.map((w) => w.id).join(), others.map((o) => o.id).join(), count];
  const came = new Map<string, unknown[]>();
  const now = () => landOf(index, came);
  assert.deepEqual([ids(now()), isWhole(now())], [["", "", 5], false]);
  came.set("w2", [item("D3")]).set("o1", [item("G1"), item("G2")]);
  assert.deepEqual([ids(now()), isWhole(now())], [["D3", "G1,G2", 5], false]);
  came.set("w1", [item("D1"), item("D2")]);
  assert.deepEqual([ids(now()), isWhole(now())], [["D1,D2,D3", "G1,G2", 5], true]);
  const whole = landOf({ ...head, ...lists, works: [item("D1")], others: [item("G1"), item("G2")] } as unknown as Index, came);
  assert.deepEqual([ids(whole), isWhole(whole)], [["D1", "G1,G2", 3], true]);
});

test("what has more to read than its place opens", () => {
  const cases: [Partial<Item>, boolean][] = [
    [{}, false],
    [{ status: "built" }, true],
    [{ photos: [{ sha: "a" }] }, true],
    ...["hazard", "gully-head", "photo-point"].map((kind): [Partial<Item>, boolean] => [{ kind }, true]),
  ];
  for (const [more, want] of cases) assert.equal(opens(item("x", { kind: "gate", ...more })), want, JSON.stringify(more));
});

test("an item is found by its id among works and others, and a kind that did not come is drawn plainly", () => {
  const dam = { name: "check-dam", label: "Check dam", plural: "Check dams", work: true, mark: "", colour: "#123456" } satisfies Kind;
  const of = {
    ...head,
    ...lists,
    kinds: [dam],
    works: [item("D1"), item("D2")],
    others: [item("G1"), item("G2")],
    count: 4,
  } as unknown as Land;
  for (const id of ["D1", "D2", "G1", "G2"]) assert.equal(itemOf(of, id)?.id, id);
  for (const id of ["D3", null]) assert.equal(itemOf(of, id), undefined);
  assert.equal(kindIndex(of)("check-dam"), dam);
  assert.deepEqual([kindIndex(of)("sluice").label, kindIndex(of)("sluice").work], ["sluice", true]);
});
