import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { visitsTo } from "./visits.ts";
import cases from "./newest.cases.json" with { type: "json" };
import { newestOf } from "./newest.ts";

const feature = (id: string, fields: Fields): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
});

for (const c of cases) {
  test(c.say, () => {
    const item = feature("thing", c.feature);
    const visits = (c.visits as readonly (Fields & { id: string })[]).map(({ id, ...fields }) =>
      feature(id, { kind: "visit", of: "thing", ...fields }),
    );
    for (const all of [visits, [...visits].reverse()]) assert.deepEqual(newestOf(item, visitsTo("thing", all)) ?? null, c.want);
  });
}
