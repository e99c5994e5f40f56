import assert from "node:assert/strict";
import test from "node:test";
import { kindNamed } from "../../base/kinds.ts";
import type { Feature } from "../../base/entry.ts";
import { meantBy } from "../form/meant.ts";
import { implausibleIn } from "./plausibility.ts";
import { formed, newForm, visitDrafts, type Form, type FormAction, type Measure } from "./form.ts";
import type { PastVisit } from "./visits.ts";

const dam: Feature = {
  id: "dam",
  property: "p",
  fields: { kind: "check-dam", crestHeightM: 0.5 },
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
};
const visit = (headOffsetM: number): PastVisit => ({
  id: "l",
  on: "2025-05-14",
  stamp: "",
  condition: "",
  photos: [],
  photoRecords: [],
  headOffsetM,
});
const after = (...actions: FormAction[]): Form => actions.reduce(formed, newForm("v", []));
const type = (field: Measure, text: string): FormAction => ({ do: "type", field, text });

test("a length in another unit is asked about by what the thing itself says", () => {
  const cases: readonly [Measure, string, readonly PastVisit[], string | undefined, readonly string[]][] = [
    ["sediment", "0.35", [], undefined, []],
    ["sediment", "0.5", [], undefined, []],
    ["sediment", "2.3", [], "2.3 m of sediment? The crest is 0.5 m above the bed.", ["0.023"]],
    ["sediment", "9", [], "9 m of sediment? The crest is 0.5 m above the bed.", ["0.09", "0.009"]],
    ["sediment", "23", [], undefined, []], // refused, not doubted
    ["sediment", "half", [], undefined, []],
    ["headOffset", "11.80", [visit(11.85)], undefined, []],
    ["headOffset", "1180", [visit(11.85)], "1180 m from the hub peg? It was 11.85 m on 14 May 2025.", ["11.8"]],
    ["headOffset", "1.1", [visit(11.85)], "1.1 m from the hub peg? It was 11.85 m on 14 May 2025.", []],
    ["headOffset", "99", [], undefined, []],
    ["headOffset", "1180", [], "1180 m from the hub peg? That is longer than a tape.", ["11.8", "1.18"]],
  ];
  for (const [measure, text, visits, question, meant] of cases) {
    const [doubt, more] = implausibleIn(after(type(measure, text)), dam, visits);
    assert.equal(more, undefined);
    assert.equal(doubt?.question, question, `${measure} ${text}`);
    assert.deepEqual(doubt?.meant.map((m) => m.text) ?? [], meant, `${measure} ${text}`);
  }
  assert.deepEqual(
    implausibleIn(after(type("sediment", "9")), { ...dam, fields: { kind: "check-dam" } }, []),
    [],
    "a dam of no known height",
  );
});

test("what the officer says is so is asked once, for as long as it stands", () => {
  const sure = after(type("sediment", "2.3"), { do: "sure", measure: "sediment" });
  assert.deepEqual(implausibleIn(sure, dam, []), []);
  assert.equal(implausibleIn(formed(sure, type("sediment", "2.4")), dam, []).length, 1);
  assert.deepEqual(visitDrafts(sure, dam, "2026-11-25", undefined)[0]!.set!["sedimentDepthM"], 2.3);
  assert.ok(!("sure" in visitDrafts(sure, dam, "2026-11-25", undefined)[0]!.set!));
});

test("only lengths in metres are read off in smaller units, and only where that can be", () => {
  const field = (kind: string, name: string) => kindNamed(kind).fields.find((f) => f.name === name)!;
  assert.deepEqual(
    meantBy(field("gully-head", "headDepthM"), 160).map((m) => [m.text, m.words]),
    [
      ["1.6", "160 cm"],
      ["0.16", "160 mm"],
    ],
  );
  assert.deepEqual(
    meantBy(field("gully-head", "headDepthM"), 23_000).map((m) => m.text),
    ["23"],
  );
  assert.deepEqual(meantBy(field("revegetation", "coverPct"), 400), []);
  assert.deepEqual(meantBy(field("gully-head", "headDepthM"), -160), []);
});
