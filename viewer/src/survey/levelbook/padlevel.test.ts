import assert from "node:assert/strict";
import test from "node:test";
import { newBook, padFor, type Book } from "./book.ts";
import type { Levels, Reduced } from "./levels.ts";
import { askForPad, withPadLevel } from "./padlevel.ts";
import type { Row } from "./row.ts";
import { write } from "./write.ts";

const rows: readonly Row[] = [
  { point: "BM1", bs: 1.842, knownLevelM: 50 },
  { point: "1", is: 9, struck: true },
  { point: "1", is: 1.655, feature: "g", spot: "bed", remark: "soft" },
  { point: "CP1", fs: 0.975, bs: 2.46, distanceM: 40 },
  { point: "eaves", is: 1.1, inverted: true, knownLevelM: 54.43 },
];
const levels = {
  rows: [50, undefined, 50.187, 50.867, 54.427].map((levelM) => ({ levelM }) as Reduced),
  sightM: 53.327,
  open: true,
} as unknown as Levels;
const book = (over: readonly Row[] = rows): Book => ({ ...newBook("run", "Run 1", "2026-11-25"), rows: over, pad: padFor(over) });
const typed = (b: Book, cell: "is" | "fs" = "is"): Book =>
  write(write(b, { do: "sight", cell }), { do: "text", box: "reading", text: "1.12" });

test("only the set-up that stands is asked, on the level of its backsight", () => {
  const setUp = [
    { point: "CP1", bs: 2.46, knownLevelM: 50.867 },
    { point: "eaves", is: 1.1, inverted: true },
  ];
  assert.deepEqual(askForPad(typed(book()), levels), { rows: [...setUp, { point: "2", is: 1.12 }, { point: "", fs: 1.12 }] });
  assert.deepEqual(askForPad(typed(book(), "fs"), levels), { rows: [...setUp, { point: "CP2", fs: 1.12 }] });
  assert.deepEqual(askForPad(write(typed(book()), { do: "invert" }), levels)!.rows.slice(2), [
    { point: "2", is: 1.12, inverted: true },
    { point: "", fs: 1.12, inverted: true },
  ]);
});

test("what only the whole book can tell is not asked of a part", () => {
  assert.equal(askForPad(book(), levels), null, "nothing typed");
  assert.equal(askForPad(typed(book([])), levels), null, "no set-up");
  const turning = book([...rows, { point: "CP2", fs: 0.668 }]);
  assert.equal(askForPad(write(turning, { do: "text", box: "reading", text: "1.9" }), levels), null, "a backsight");
  const correction = write(book(), { do: "correct", at: 2, stand: null });
  assert.equal(askForPad(write(correction, { do: "text", box: "reading", text: "1.9" }), levels), null, "a line written again");
  assert.equal(askForPad(typed(book()), { ...levels, rows: [] }), null, "a book without levels");
});

test("the answer stands behind the rows of the book", () => {
  const run = { rows: [50.867, 54.427, 52.207, 52.207].map((levelM, i) => ({ levelM, point: String(i) })) } as Parameters<
    typeof withPadLevel
  >[2];
  assert.deepEqual(
    withPadLevel(typed(book()), levels, run).rows.map((r) => r?.levelM),
    [50, undefined, 50.187, 50.867, 54.427, 52.207],
  );
  assert.equal(withPadLevel(typed(book()), levels, run).rows[5]!.point, "2");
  assert.equal(withPadLevel(typed(book(), "fs"), levels, run).rows[5]!.point, "3");
});
