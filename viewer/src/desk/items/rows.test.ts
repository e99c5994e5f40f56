import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../../base/entry.ts";
import { atFirst, rowsOf, statusText, statusTexts, type Wanted } from "./rows.ts";

const item = (id: string, fields: Feature["fields"], stamp = "0"): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp,
  unsent: 0,
});
const dam10 = item("a", { kind: "check-dam", name: "Dam 10", status: "built" }, "0000000000030000");
const dam2 = item("b", { kind: "check-dam", name: "Dam 2", status: "pegged" }, "0000000000010000");
const unnamed = item("c", { kind: "check-dam" }, "0000000000020000");
const head = item("d", { kind: "gully-head", name: "Main head", notes: "hollow rim" }, "0000000000040000");
const all = [dam10, unnamed, dam2, head];
const people = new Map([
  [dam2.id, "R. Field"],
  [head.id, "A. Desk"],
]);
const rows = (wanted: Partial<Wanted>) =>
  rowsOf(all, { ...atFirst, ...wanted }, (f) => people.get(f.id) ?? "", statusText)
    .map((f) => f.id)
    .join("");

test("items stand by kind, names in the order of their numbers, unnamed ones last", () => {
  assert.equal(rows({}), "dbac");
  assert.equal(rows({ order: { by: "name", down: false } }), "badc");
});

test("each column orders both ways", () => {
  assert.equal(rows({ order: { by: "changed", down: true } }), "dacb");
  assert.equal(rows({ order: { by: "changed", down: false } }), "bcad");
  const undated = item("e", { kind: "peg" }, "0000000000000001");
  for (const [down, want] of [
    [true, "dacbe"],
    [false, "bcade"],
  ] as const)
    assert.equal(
      rowsOf([undated, ...all], { ...atFirst, order: { by: "changed", down } }, () => "", statusText)
        .map((f) => f.id)
        .join(""),
      want,
      "what has no date comes last either way",
    );
  assert.equal(rows({ order: { by: "person", down: false } }), "dbac");
  assert.equal(rows({ order: { by: "person", down: true } }), "bdac"); // nobody is named last either way
  assert.equal(rows({ order: { by: "status", down: false } }), "acbd");
});

test("a search finds words of name, kind and notes, and a kind leaves the others out", () => {
  assert.equal(rows({ search: "HOLLOW" }), "d");
  assert.equal(rows({ kind: "check-dam" }), "bac");
  assert.equal(rows({ kind: "check-dam", search: "hollow" }), "");
});

test("a status is said of works alone, and said to be unknown where nobody recorded it", () => {
  assert.deepEqual([dam2, unnamed, head].map(statusText), ["Pegged", "Not recorded", ""]);
});

test("beside the status stands what the newest visit that judged the item found", () => {
  const visit = (of: string, on: string, fields: Feature["fields"]) => item(`${of}${on}`, { kind: "visit", of, observedOn: on, ...fields });
  const failed = item("f", { kind: "check-dam", status: "failed" });
  const texts = statusTexts([
    ...[dam10, dam2, head, failed],
    visit("a", "2026-05-02", { condition: "needs work" }),
    visit("a", "2026-05-01", { condition: "sound" }),
    visit("a", "2026-05-03", { sedimentDepthM: 0.2 }),
    visit("d", "2026-05-01", { condition: "needs work" }),
    visit("f", "2026-05-01", { condition: "failed" }),
  ]);
  assert.deepEqual(
    [dam10, dam2, head, failed].map((f) => texts.get(f.id)),
    ["Built, needs work", "Pegged", "Needs work", "Failed"],
  );
});
