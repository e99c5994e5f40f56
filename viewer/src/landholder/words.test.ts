import assert from "node:assert/strict";
import test from "node:test";
import { called, count, day } from "./words.ts";

test("days, names and counts are said as a person says them", () => {
  const plain = (text: string) => text.replace(/\u00a0/g, " ");
  for (const [date, said] of [
    ["2026-01-05", "5 January 2026"],
    ["2026-12-31", "31 December 2026"],
    ["2026-13-01", "2026-13-01"],
    ["2026-00-01", "2026-00-01"],
    ["in May", "in May"],
  ] as const)
    assert.equal(plain(day(date)), said);
  assert.deepEqual(
    ["D1", " D1 ", "  ", undefined].map((name) => called("Dam", name)),
    ["D1", "D1", "Dam, unnamed", "Dam, unnamed"],
  );
  assert.deepEqual(
    [0, 1, 2].map((n) => plain(count(n, "work", "works"))),
    ["0 works", "1 work", "2 works"],
  );
});
