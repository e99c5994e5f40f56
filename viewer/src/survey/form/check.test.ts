import assert from "node:assert/strict";
import test from "node:test";
import cases from "./check.cases.json" with { type: "json" };
import type { Feature } from "../../base/entry.ts";
import { checked, refusedOf, wrongValue } from "./check.ts";
import { fieldsOf, kinds } from "../../base/kinds.ts";

test("what the server would refuse is refused here, and nothing else", () => {
  assert.ok(cases.length >= 50, `${cases.length} cases`);
  for (const { kind, set, refused } of cases) {
    assert.deepEqual(
      refusedOf(kind, set)
        .map((r) => r.field.name)
        .sort(),
      refused.slice().sort(),
      `${kind} ${JSON.stringify(set)}`,
    );
  }
});

test("every type of field refuses something, in words without a full stop", () => {
  const types = new Set(kinds.flatMap((k) => fieldsOf(k)).map((f) => f.type));
  for (const type of types) {
    const wrong = wrongValue({ name: "x", label: "X", type, choices: ["left"] }, { no: "value" });
    assert.match(wrong ?? "", /^[^.].*[^.]$/, type);
  }
  assert.match(wrongValue({ name: "x", label: "X", type: "instant" }, "2026-11-25 09:30") ?? "", /not a time/);
  assert.equal(wrongValue({ name: "x", label: "X", type: "instant" }, "2026-11-25T09:30:00.5+10:00"), undefined);
  assert.match(wrongValue({ name: "x", label: "X", type: "number" }, NaN) ?? "", /not a number/);
});

test("drafts are checked by the kind they set, else by the kind of their feature", () => {
  const dam: Feature = {
    id: "dam",
    property: "p",
    fields: { kind: "check-dam" },
    struck: false,
    clashes: [],
    saw: {},
    stamp: "0",
    unsent: 0,
  };
  const good = [
    { feature: "dam", set: { crestHeightM: 0.5 } },
    { feature: "dam", strike: true },
    { set: { kind: "peg", crestHeightM: 50 } },
  ];
  assert.equal(checked(good, [dam]), good);
  for (const draft of [
    { feature: "dam", set: { crestHeightM: 50 } },
    { set: { kind: "check-dam", crestHeightM: 50 } },
    { feature: "new", set: { accuracyM: 1e5 } },
  ]) {
    assert.throws(
      () => checked([...good, draft], [dam]),
      (problem: { reason: string; fix: string }) => /is out of range: give 0 to/.test(problem.reason) && problem.fix !== "",
      JSON.stringify(draft),
    );
  }
});

test("a book may have ten thousand rows", () => {
  const rows = kinds.flatMap((k) => fieldsOf(k)).find((f) => f.type === "level-rows")!;
  const book = (n: number) => Array.from({ length: n }, (_, i) => ({ point: String(i), is: 1 }));
  assert.equal(wrongValue(rows, book(10_000)), undefined);
  assert.match(String(wrongValue(rows, book(10_001))), /10001 rows and may have 10000/);
});
