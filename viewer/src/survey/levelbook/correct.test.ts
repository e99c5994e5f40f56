import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../../base/entry.ts";
import { asRead, dueCells, fieldsOf, newBook, padFor, unrecorded, type Book } from "./book.ts";
import oldMending from "../../../fieldtest/offline/testdata/oldphone/mending.json" with { type: "json" };
import { chosen, whole } from "./drafts.ts";
import { correctionCells, replacing } from "./correct.ts";
import { pointOf } from "./point.ts";
import type { Row, Stand } from "./row.ts";
import { withPad, write, type Act } from "./write.ts";

const rows: readonly Row[] = [
  { point: "BM1", bs: 1.842, knownLevelM: 50 },
  { point: "Bed 0", is: 1.655, feature: "gully", spot: "bed", chainageM: 0, remark: "soft" },
  { point: "CP1", fs: 0.975, bs: 2.46, distanceM: 40, bookedLevelM: 50.867 },
  { point: "2", is: 1.12 },
  { point: "CP2", fs: 0.668 },
];
const bed: Stand = { feature: "gully", name: "Main gully", spot: "bed" };
const toe: Stand = { feature: "dam", name: "Dam 3", spot: "toe" };

function book(more: Partial<Book> = {}): Book {
  const b: Book = { ...newBook("run", "Run 1", "2026-11-25"), rows, ...more };
  const whole = { ...b, recorded: fieldsOf(b) };
  return { ...whole, pad: padFor(whole.rows) };
}

const type = (b: Book, text: string): Book => write(b, { do: "text", box: "reading", text });
const corrected = (b: Book, at: number, ...acts: Act[]): Book =>
  write(acts.reduce(write, write(b, { do: "correct", at, stand: b.rows[at]!.spot === "bed" ? bed : null })), { do: "book" });
const reading = (text: string): Act => ({ do: "text", box: "reading", text });

test("any line can be written again: its reading, its sight, what it stands on, its note", () => {
  const cases: readonly [string, number, readonly Act[], Row][] = [
    ["a backsight on the benchmark", 0, [reading("1.824")], { point: "BM1", bs: 1.824, knownLevelM: 50 }],
    ["the level of the benchmark", 0, [{ do: "text", box: "known", text: "51" }], { point: "BM1", bs: 1.842, knownLevelM: 51 }],
    ["an intermediate sight, its link kept", 1, [reading("1.565")], { ...rows[1]!, is: 1.565 }],
    [
      "a chainage, and with it the name",
      1,
      [{ do: "text", box: "chainage", text: "10" }],
      { ...rows[1]!, point: "Bed at 10 m", chainageM: 10 },
    ],
    [
      "another thing under the staff",
      1,
      [{ do: "stand", stand: toe }],
      { point: "Dam 3 toe", is: 1.655, feature: "dam", spot: "toe", remark: "soft" },
    ],
    ["nothing under the staff", 1, [{ do: "stand", stand: null }], { point: "Bed 0", is: 1.655, remark: "soft" }],
    ["a note", 1, [{ do: "note", note: " firm " }], { ...rows[1]!, remark: "firm" }],
    [
      "a note taken off",
      3,
      [
        { do: "note", note: "" },
        { do: "point", point: "culvert" },
      ],
      { point: "culvert", is: 1.12 },
    ],
    ["the foresight of a change point", 2, [reading("0.957")], { point: "CP1", fs: 0.957, bs: 2.46, distanceM: 40 }],
    ["its backsight", 2, [{ do: "sight", cell: "bs" }, reading("2.64")], { point: "CP1", fs: 0.975, bs: 2.64, distanceM: 40 }],
    [
      "both of them",
      2,
      [reading("0.957"), { do: "sight", cell: "bs" }, reading("2.64")],
      { point: "CP1", fs: 0.957, bs: 2.64, distanceM: 40 },
    ],
    ["a change point that was none", 2, [{ do: "sight", cell: "is" }], { point: "CP1", is: 0.975, distanceM: 40 }],
    ["an intermediate sight that was a foresight", 3, [{ do: "sight", cell: "fs" }], { point: "2", fs: 1.12 }],
    ["a foresight that was an intermediate sight", 4, [{ do: "sight", cell: "is" }], { point: "CP2", is: 0.668 }],
    ["an overhead point", 3, [{ do: "invert" }], { point: "2", is: 1.12, inverted: true }],
    ["the hand's own level stands while the figures do", 2, [{ do: "note", note: "wind" }], { ...rows[2]!, remark: "wind" }],
  ];
  for (const [name, at, acts, want] of cases) {
    const b = corrected(book(), at, ...acts);
    assert.deepEqual(b.rows, [...rows.slice(0, at), { ...rows[at]!, struck: true }, want, ...rows.slice(at + 1)], name);
    assert.equal(b.pad.correction, null, name);
    assert.ok(b.due && unrecorded(b), `${name}: the register is to be told`);
    assert.deepEqual(write(b, { do: "take back" }).rows, rows, `${name}: taken back`);
  }
});

test("what is written again counts as it is keyed, and nothing is struck before it is booked", () => {
  let b = write(book(), { do: "correct", at: 2, stand: null });
  assert.equal(withPad(b), rows, "the old figure counts while none is keyed");
  b = type(b, "0.957");
  assert.deepEqual(
    withPad(b),
    rows.map((r, i) => (i === 2 ? { point: "CP1", fs: 0.957, bs: 2.46, distanceM: 40 } : r)),
  );
  assert.deepEqual(b.rows, rows);
  assert.equal(unrecorded(b), null, "nothing for the register yet");
  assert.deepEqual(write(b, { do: "leave" }), book(), "left as it was");
});

test("a line left as it was is not struck, half a number is not booked", () => {
  assert.deepEqual(corrected(book(), 3), book());
  assert.deepEqual(corrected(book(), 3, reading("1.120")), book(), "the same figure");
  const half = corrected(book(), 3, reading("-"));
  assert.deepEqual([half.rows, half.pad.correction === null, half.pad.box], [rows, false, "reading"]);
  assert.equal(corrected(book(), 0, { do: "text", box: "known", text: "" }).pad.box, "known", "the benchmark must have a level");
  const struck = write(book(), { do: "strike", at: 3 });
  assert.equal(write(struck, { do: "correct", at: 3, stand: null }), struck, "a struck line is put back, not written again");
});

test("the pad goes on where it was, with what was keyed on it", () => {
  const b = corrected(write(type(book(), "1.9"), { do: "note", note: "gate" }), 1, reading("1.6"));
  assert.deepEqual([b.pad.at, b.pad.cell, b.pad.texts.reading, b.pad.note, pointOf(b)], [5, "bs", "1.9", "gate", "CP2"]);
  assert.equal(write(b, { do: "book" }).rows[5]!.bs, 1.9);
  const own = corrected(write(type(book(), "1.9"), { do: "note", note: "gate" }), 4, reading("0.686"));
  assert.deepEqual([own.pad.at, own.pad.texts.reading, own.pad.note], [5, "1.9", "gate"], "below the foresight that it stood on");
});

test("a crest that was booked as a toe is written again under its own name", () => {
  const at = { is: 1.2, feature: "dam" };
  const dam = book({ rows: [rows[0]!, { ...at, point: "Dam 3 toe", spot: "toe" }] });
  const crest = { ...toe, spot: "crest" } as const;
  assert.deepEqual(corrected(dam, 1, { do: "stand", stand: crest }).rows[2], { ...at, point: "Dam 3 crest", spot: "crest" });
});

test("a chainage that was booked so before is not asked about again, another one is", () => {
  const at = (is: number, chainageM: number): Row => ({ point: `Bed at ${chainageM} m`, is, feature: "gully", spot: "bed", chainageM });
  const far = book({ rows: [rows[0]!, at(1.6, 0), at(1.5, 10), at(1.4, 4500)] });
  assert.deepEqual(corrected(far, 3, reading("1.3")).rows[4], at(1.3, 4500));
  const chainage: Act = { do: "text", box: "chainage", text: "5000" };
  const asked = corrected(far, 3, reading("1.3"), chainage);
  assert.deepEqual([asked.rows, asked.pad.box, asked.pad.doubted], [far.rows, "chainage", "5000"]);
  assert.deepEqual(write(asked, { do: "book", sure: true }).rows[4], at(1.3, 5000));
  const known = write(write(asked, { do: "box", box: "distance" }), { do: "key", key: "7" });
  assert.equal(known.pad.texts.distance, "7", "what was not asked about is as it was");
});

test("a sight that becomes a foresight waits for its backsight, wherever it stands", () => {
  let b = corrected({ ...book(), rows: rows.slice(0, 4), pad: newBook("", "", "").pad }, 1, { do: "sight", cell: "fs" });
  assert.deepEqual([b.pad.at, b.pad.cell, dueCells(b.rows)], [2, "bs", ["bs"]]);
  b = write(type(b, "1.5"), { do: "book" });
  assert.deepEqual([b.rows[2]!.fs, b.rows[2]!.bs, b.pad.at, dueCells(b.rows)], [1.655, 1.5, 5, ["is", "fs"]]);
});

test("a laser's direct-reading staff is written again as it showed", () => {
  const laser = book({
    instrument: "Laser, direct-reading staff",
    rows: [
      { point: "BM1", bs: 0, knownLevelM: 50 },
      { point: "1", is: -0.34 },
    ],
  });
  assert.equal(asRead(-0.34, laser.instrument), "+0.340");
  assert.equal(asRead(0, laser.instrument), "0.000");
  assert.equal(asRead(0.2, laser.instrument), "-0.200");
  assert.deepEqual(corrected(laser, 1, reading("0.43")).rows.slice(1), [
    { point: "1", is: -0.34, struck: true },
    { point: "1", is: -0.43 },
  ]);
  assert.deepEqual(corrected(laser, 1, { do: "note", note: "n" }).rows[2], { point: "1", is: -0.34, remark: "n" });
});

test("a line put back stands instead of the one written in its place", () => {
  const twice = corrected(corrected(book(), 3, reading("1.21")), 4, reading("1.22"));
  assert.deepEqual(
    twice.rows.slice(3, 6).map((r) => [r.is, r.struck ?? false]),
    [
      [1.12, true],
      [1.21, true],
      [1.22, false],
    ],
  );
  assert.equal(replacing(twice.rows, 3), 5);
  const back = write(twice, { do: "strike", at: 3 });
  assert.deepEqual(
    back.rows.slice(3, 6).map((r) => r.struck ?? false),
    [false, true, true],
  );
  assert.equal(replacing(write(book(), { do: "strike", at: 1 }).rows, 1), undefined, "one struck out alone has nothing in its place");
});

test("the sights that a line can be", () => {
  assert.deepEqual(
    rows.map((_, at) => correctionCells(rows, at)),
    [["bs"], ["is", "fs"], ["fs", "bs", "is"], ["is", "fs"], ["fs", "is"]],
  );
});

test("a line half written again is found again, unless it has changed meanwhile", () => {
  const feature = (over: readonly Row[]): Feature => ({
    id: "run",
    property: "p",
    fields: { ...fieldsOf(book()), rows: over },
    struck: false,
    clashes: [],
    saw: {},
    stamp: "0",
    unsent: 0,
  });
  const draft = type(write(book(), { do: "correct", at: 3, stand: null }), "1.2");
  assert.equal(chosen(draft, feature(rows))!.pad.texts.reading, "1.2");
  const more = [...rows, { point: "3", is: 1 }];
  const later = chosen(draft, feature(more))!;
  assert.deepEqual(
    [later.rows.length, later.pad.correction !== null, later.pad.texts.reading],
    [6, true, "1.2"],
    "another phone's row further down",
  );
  assert.deepEqual(
    write(later, { do: "book" }).rows.map((r) => r.is),
    [undefined, 1.655, undefined, 1.12, 1.2, undefined, 1],
  );
  const gone = chosen(draft, feature(rows.map((r, i) => (i === 3 ? { ...r, is: 1.3 } : r))))!;
  assert.deepEqual([gone.pad.correction, gone.rows[3]!.is], [null, 1.3], "the line itself");
});

test("a row that an older page left half written again is written, and the pad aside goes on", () => {
  const old = whole(oldMending as unknown as Book);
  assert.equal(old.pad.correction?.back.texts.reading, "1.4");
  assert.deepEqual([whole(old), "mending" in old.pad], [old, false], "it is kept under the name of today, and read again");
  for (const book of [write(old, { do: "leave" }), write(write(old, reading("0.6")), { do: "book" })]) {
    const on = write(book, { do: "key", key: "2" });
    assert.equal(on.pad.texts.reading, "1.42");
    assert.deepEqual(write(on, { do: "book" }).rows.slice(-1)[0], { point: "2", is: 1.42 });
  }
  const bare = whole({ ...old, pad: { ...(old.pad.correction!.back as object), suggested: undefined } as unknown as Book["pad"] });
  assert.equal(bare.pad.correction, null);
});
