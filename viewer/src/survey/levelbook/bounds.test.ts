// Where a level book's numbers, questions and names go over into others: each line has what
// lies on either side of a bound.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../../base/entry.ts";
import { asRead, fieldsOf, instruments, isAllowable, isStaff, newBook, openBook, padFor, staffIn, unrecorded, type Book } from "./book.ts";
import { correctSight, correctStand, padToCorrect, readBefore, replacing } from "./correct.ts";
import { beyondQuestion, chainagesOf, firstQuestion, jumpQuestion, stepQuestion } from "./jump.ts";
import { knownPoints, levelOfMark } from "./known.ts";
import { millimetres } from "../../base/number.ts";
import { levelOf, sightOf, stepWords, type Reduced } from "./levels.ts";
import { namedByBook, nextStand, pointOf, pointWords } from "./point.ts";
import { live, type Row, rowsOf, spotsOf, type Stand, wantsChainage } from "./row.ts";
import { beds } from "./section.ts";

const item = (id: string, fields: object, struck = false): Feature =>
  ({ id, property: "p", fields, struck, clashes: [], saw: {}, stamp: "1", unsent: 0 }) as Feature;

test("a staff is from one to twenty metres long", () => {
  for (const [m, right] of [
    [0.999, false],
    [1, true],
    [20, true],
    [20.001, false],
  ] as const)
    assert.equal(isStaff(m), right, `${m}`);
});

test("of a misclosure up to a metre is allowed, and more than nothing", () => {
  for (const [mm, right] of [
    [undefined, false],
    [0, false],
    [0.1, true],
    [1000, true],
    [1000.1, false],
    [NaN, false],
  ] as const)
    assert.equal(isAllowable(mm), right, `${mm}`);
});

test("what is recorded of a book: the rule that was chosen, and of nothing unknown a value", () => {
  const rows = [{ point: "Start", bs: 1.2, knownLevelM: 50 }];
  for (const [name, more, set, km] of [
    ["nobody chose", { ruleChosen: false, rule: { per: "set-up", mm: 5 } }, null, null],
    ["nor here", { ruleChosen: false, rule: { per: "km", mm: 12 } }, null, null],
    ["by set-up", { ruleChosen: true, rule: { per: "set-up", mm: 4 } }, 4, null],
    ["by length", { ruleChosen: true, rule: { per: "km", mm: 12 } }, null, 12],
  ] as [string, Partial<Book>, number | null, number | null][]) {
    const { perRootSetupMm, perRootKmMm, instrument, staffLengthM } = fieldsOf({ ...newBook("b", "Run 1", "2026-03-01"), rows, ...more });
    assert.deepEqual([perRootSetupMm, perRootKmMm, instrument, staffLengthM], [set, km, null, null], name);
  }
  const run = { kind: "level-run", name: "Run 1", observedOn: "2026-03-01", rows };
  for (const [name, more, rule, chosen] of [
    ["none", {}, { per: "set-up", mm: 5 }, false],
    ["set-up", { perRootSetupMm: 3 }, { per: "set-up", mm: 3 }, true],
    ["length", { perRootKmMm: 12 }, { per: "km", mm: 12 }, true],
  ] as [string, object, Book["rule"], boolean][]) {
    const book = openBook(item("r", { ...run, ...more }));
    assert.deepEqual([book.rule, book.ruleChosen, unrecorded(book)], [rule, chosen, null], name);
    assert.deepEqual(unrecorded({ ...book, name: "Run 9" }), { name: "Run 9" }, name);
    assert.equal(unrecorded({ ...book, rows: [], name: "Run 9" }), null, "with no row there is nothing to record");
  }
});

test("a direct-reading staff shows how much higher the ground is", () => {
  const [dumpy, , direct] = instruments;
  for (const [text, instrument, booked, read] of [
    ["1.2", dumpy, 1.2, "1.200"],
    ["1.2", "", 1.2, "1.200"],
    ["0.34", direct, -0.34, "+0.340"],
    ["-0.34", direct, 0.34, "-0.340"],
    ["0", direct, 0, "0.000"],
  ] as const) {
    assert.equal(staffIn(text, instrument), booked, `${text} on ${instrument}`);
    assert.equal(asRead(booked, instrument), read, `${booked} on ${instrument}`);
  }
  assert.equal(staffIn("", direct), undefined);
});

const both: Row = { point: "CP1", fs: 1, bs: 2 };
const pad = {
  ...padFor([]),
  correction: { back: padFor([]), other: "2.5" },
  texts: { ...padFor([]).texts, reading: "1.5", chainage: "10" },
};

test("at a change point what is typed stays with the sight it was typed for", () => {
  for (const [name, row, from, to, reading, other] of [
    ["foresight to backsight", both, "fs", "bs", "2.5", "1.5"],
    ["and back", both, "bs", "fs", "2.5", "1.5"],
    ["foresight to intermediate", both, "fs", "is", "1.5", "2.5"],
    ["a foresight alone", { point: "1", fs: 1 }, "fs", "bs", "1.5", "2.5"],
    ["a backsight alone", { point: "1", bs: 1 }, "bs", "fs", "1.5", "2.5"],
  ] as const) {
    const after = correctSight({ ...pad, cell: from }, row, to);
    assert.deepEqual([after.cell, after.texts.reading, after.correction!.other], [to, reading, other], name);
  }
  const plain = correctSight({ ...pad, correction: null, cell: "fs" }, both, "bs");
  assert.deepEqual([plain.cell, plain.texts.reading], ["bs", "1.5"], "a row that is written first has one text");
});

test("another thing under the staff has another chainage, the same thing the same", () => {
  const on: Stand = { feature: "g", name: "Gully", spot: "bed" };
  for (const [name, before, after, chainage] of [
    ["the same", on, { ...on, name: "Main gully" }, "10"],
    ["another gully", on, { ...on, feature: "h" }, ""],
    ["another part", on, { ...on, spot: "peg" }, ""],
    ["nothing", on, null, ""],
    ["nothing, as before", null, null, "10"],
  ] as [string, Stand | null, Stand | null, string][]) {
    const moved = correctStand({ ...pad, stand: before }, after);
    assert.deepEqual([moved.stand, moved.texts.chainage], [after, chainage], name);
  }
});

test("the reading that stands while none is typed is that of the sight, else of the sight there is", () => {
  for (const [row, cell, want] of [
    [{ point: "1", bs: 3 }, "is", 3],
    [{ point: "1", bs: 3 }, "fs", 3],
    [{ point: "1", fs: 2 }, "is", 2],
    [{ point: "1", fs: 2 }, "bs", 2],
    [{ point: "1", is: 1 }, "bs", 1],
    [both, "bs", 2],
    [both, "is", 1],
  ] as const)
    assert.equal(readBefore(row, cell), want, `${JSON.stringify(row)}, ${cell}`);
});

test("a struck row cannot be written again, nor one that is not there", () => {
  const book = { ...newBook("b", "Run 1", "2026-03-01"), rows: [both, { ...both, struck: true }] };
  assert.deepEqual([padToCorrect(book, 0, null)?.at, padToCorrect(book, 1, null), padToCorrect(book, 2, null)], [0, null, null]);
  const struck = (point: string): Row => ({ point, is: 1, struck: true });
  assert.equal(replacing([struck("1"), { point: "1", is: 2 }], 0), 1);
  assert.equal(replacing([struck("1"), struck("1"), { point: "1", is: 2 }], 0), 2);
  assert.equal(replacing([struck("1"), { point: "2", is: 2 }], 0), undefined);
  assert.equal(replacing([struck("1")], 0), undefined);
});

test("a chainage that jumps is asked about, one that goes on is not", () => {
  for (const [before, to, asks] of [
    [[], 1000, false],
    [[], 1000.1, true],
    [[100], 300, false],
    [[100], 300.5, true],
    [[300], 99, true],
    [[300], 100, false],
    [[0, 5], 55, false], // no step below 50 m is absurd
    [[0, 5], 55.1, true],
    [[0, 20], 140, false], // six times the longest so far
    [[0, 20], 140.5, true],
    [[100, 120, 110], 230, false], // the longest, not the last, and either way
    [[100, 120, 110], 230.5, true],
    [[1000, 1010, 1020], 1080.5, true], // a step is how far apart two are
    [[20, 0], -120, false],
  ] as [number[], number, boolean][])
    assert.equal(jumpQuestion(before, to) !== undefined, asks, `${before} then ${to}`);
  assert.equal(jumpQuestion([10, 20], 4500), "The last was 20 m. 4500 m is 4480 m farther: is it right?");
  assert.equal(jumpQuestion([10, 420], -4500), "The last was 420 m. -4500 m is 4920 m back: is it right?");
  assert.equal(jumpQuestion([], 1500), "1500 m for the first chainage?");
  assert.deepEqual(
    [firstQuestion(undefined), firstQuestion(1000), firstQuestion(1001)],
    [undefined, undefined, "1001 m for the first chainage?"],
  );
  assert.deepEqual([stepQuestion(undefined), stepQuestion(200), stepQuestion(201)], [undefined, undefined, "201 m from the last one?"]);
  // 1.2 times 100 m and 5 m more
  assert.equal(beyondQuestion(125, 100, "G1"), undefined);
  assert.equal(beyondQuestion(125.1, 100.4, "G1"), undefined);
  assert.equal(beyondQuestion(126, 100.4, "G1"), "G1 was recorded 100 m long. Chainage 126 m is beyond its end: is it right?");
  assert.deepEqual([beyondQuestion(undefined, 1, "G1"), beyondQuestion(1e6, undefined, "G1")], [undefined, undefined]);
});

test("the chainages of a thing are those that stand, of the part that is meant", () => {
  const rows: Row[] = [
    { point: "", is: 1, feature: "g", spot: "bed", chainageM: 1 },
    { point: "", is: 1, feature: "g", spot: "peg", chainageM: 2 },
    { point: "", is: 1, feature: "h", spot: "bed", chainageM: 3 },
    { point: "", is: 1, feature: "g", spot: "bed", chainageM: 4, struck: true },
    { point: "", is: 1, feature: "g", spot: "bed" },
    { point: "", is: 1, feature: "g", spot: "bed", chainageM: 0 },
  ];
  assert.deepEqual(chainagesOf(rows, "g"), [1, 2, 0]);
  assert.deepEqual(chainagesOf(rows, "g", "bed"), [1, 0]);
  assert.deepEqual(beds(rows), ["g", "h"]);
  assert.deepEqual(beds([{ ...rows[0]!, struck: true }, rows[1]!, { point: "", is: 1, spot: "bed" }]), []);
});

test("the next chainage lies on the thing: neither below its beginning nor beyond its end", () => {
  const on = (a: number, b: number): Row[] => [a, b].map((chainageM) => ({ point: "", is: 1, feature: "g", spot: "bed", chainageM }));
  const stand: Stand = { feature: "g", name: "G", spot: "bed", lengthM: 40 };
  for (const [a, b, want] of [
    [0, 20, "40"],
    [0, 20.1, ""],
    [20, 10, "0"],
    [20, 9.9, ""],
  ] as const)
    assert.equal(nextStand(on(a, b), stand).chainage, want, `${a}, ${b}`);
  assert.deepEqual(nextStand([], null), { stand: null, chainage: "" });
  assert.deepEqual(nextStand([], { ...stand, spot: "mark" }), { stand: null, chainage: "" });
});

test("the book names what nobody named, and knows its own names", () => {
  for (const [row, own] of [
    [{ point: "12" }, true],
    [{ point: "CP3" }, true],
    [{ point: "BM1" }, true],
    [{ point: "Start" }, true],
    [{ point: "Start 2" }, true],
    [{ point: "rock" }, false],
    [{ point: "rock 2" }, false],
    [{ point: "Bed", feature: "g", spot: "bed" }, true],
    [{ point: "Bed 12.5", feature: "g", spot: "bed" }, true],
    [{ point: "Bed at 12.5 m", feature: "g", spot: "bed" }, true],
    [{ point: "Peg 2", feature: "g", spot: "peg" }, true],
    [{ point: "Peg 2", feature: "g", spot: "bed" }, false],
    [{ point: "D1 toe", feature: "g", spot: "toe" }, true],
    [{ point: "D1 crest", feature: "g", spot: "toe" }, false],
    [{ point: "12", feature: "g" }, false],
  ] as [Row, boolean][])
    assert.equal(namedByBook(row), own, JSON.stringify(row));
  const book = (rows: readonly Row[], more: object = {}): Book => {
    const b = { ...newBook("b", "Run 1", "2026-03-01"), rows };
    return { ...b, pad: { ...padFor(rows), at: rows.length, ...more } };
  };
  const starts: Row[] = [
    { point: "Start", bs: 1 },
    { point: "Start 2", bs: 1 },
  ];
  assert.equal(pointOf(book([])), "Start");
  assert.equal(pointOf(book(starts, { cell: "bs" })), "Start 3");
  assert.equal(pointOf(book(starts, { cell: "fs" })), "CP1");
  assert.equal(pointOf(book([...starts, { point: "4", is: 1 }], { cell: "is" })), "5");
  assert.equal(pointOf(book(starts, { point: "  rock " })), "rock");
  const peg = (feature: string, struck = false): Row => ({ point: "", is: 1, feature, spot: "peg", ...(struck && { struck }) });
  const stand = { feature: "g", name: "G", spot: "peg" };
  assert.equal(pointOf(book([peg("g"), peg("h"), peg("g", true)], { stand })), "Peg 2");
  assert.equal(pointOf(book([], { stand: { ...stand, spot: "bed" }, cell: "is" })), "Bed");
  assert.equal(pointOf(book([], { stand: { ...stand, spot: "mark" } })), "G");
  assert.deepEqual([pointWords("4"), pointWords("CP4")], ["point 4", "CP4"]);
});

test("a level that counts is the adjusted one, and the line of sight goes with it", () => {
  const row = (more: object) => more as Reduced;
  assert.equal(levelOf(row({ levelM: 100, adjustedLevelM: 100.002 })), 100.002);
  assert.equal(levelOf(row({ levelM: 100 })), 100);
  assert.equal(sightOf(row({ levelM: 100, adjustedLevelM: 100.002, instrumentLevelM: 101.5 })), 101.502);
  assert.equal(sightOf(row({ levelM: 100, instrumentLevelM: 101.5 })), 101.5);
  assert.deepEqual(
    [sightOf(row({ levelM: 100 })), sightOf(row({ instrumentLevelM: 1 })), sightOf(undefined)],
    [undefined, undefined, undefined],
  );
  assert.deepEqual(
    [stepWords(row({ riseM: 0.953 })), stepWords(row({ fallM: 2.239 })), stepWords(undefined)],
    ["rise 0.953", "fall 2.239", ""],
  );
  assert.deepEqual([millimetres(0.00415), millimetres(0.003)], ["4.2 mm", "3.0 mm"]);
});

test("a point is known by the book, by the register, and by other runs, each once", () => {
  const mark = item("m", { kind: "benchmark", name: "BM7" });
  const of = (knownLevelM?: number, more: object = {}): Row => ({
    point: "BM7",
    bs: 1,
    feature: "m",
    spot: "mark",
    ...(knownLevelM !== undefined && { knownLevelM }),
    ...more,
  });
  const run = (rows: readonly Row[], struck = false) => item("r", { kind: "level-run", rows }, struck);
  assert.equal(levelOfMark(mark, [of(50), of(51), of(52, { struck: true }), of()], []), 51, "the last that stands");
  assert.equal(levelOfMark(mark, [of(50, { feature: "other" })], []), undefined);
  assert.equal(levelOfMark(item("m", { kind: "benchmark", levelM: 40 }), [], [run([of(60)])]), 40);
  assert.equal(levelOfMark(mark, [], [run([of(60)]), run([of(70)], true), run([of()])]), 60);
  assert.equal(levelOfMark(mark, [], [item("r", { kind: "peg", rows: [of(60)] })]), undefined);
  const named = (...points: ReturnType<typeof knownPoints>) => points.map((p) => [p.point, p.levelM, p.feature]);
  const register = [item("m", { kind: "benchmark", name: "BM7", levelM: 40 }), item("n", { kind: "benchmark", name: "BM8", levelM: 30 })];
  assert.deepEqual(
    named(
      ...knownPoints(
        [
          { point: "Start", bs: 1, knownLevelM: 50 },
          { point: "2", is: 1 },
        ],
        register,
      ),
    ),
    [
      ["Start", 50, undefined],
      ["BM7", 40, "m"],
      ["BM8", 30, "n"],
    ],
  );
  assert.deepEqual(named(...knownPoints([of(50)], register)), [
    ["BM7", 50, "m"],
    ["BM8", 30, "n"],
  ]);
  const byName: Row = { point: "BM7", bs: 1, knownLevelM: 40 };
  assert.deepEqual(named(...knownPoints([byName], register)), [
    ["BM7", 40, undefined],
    ["BM8", 30, "n"],
  ]);
  assert.equal(knownPoints([{ ...byName, knownLevelM: 41 }], register).length, 3, "of the same name and another level");
  assert.deepEqual(knownPoints([], [item("x", { kind: "benchmark", levelM: 1 }, true), item("y", { kind: "peg", levelM: 1 }), mark]), []);
});

test("rows are read from the register, whatever else stands among them", () => {
  assert.deepEqual(rowsOf(item("r", { rows: [null, 3, { is: 1 }, { point: "2", is: 1 }] })), [
    { is: 1, point: "" },
    { point: "2", is: 1 },
  ]);
  assert.deepEqual([rowsOf(item("r", {})), rowsOf(item("r", { rows: "x" }))], [[], []]);
  assert.deepEqual(live([{ point: "1", struck: true }, { point: "2" }]), [{ row: { point: "2" }, at: 1 }]);
  assert.deepEqual([spotsOf("check-dam"), spotsOf("peg")], [["toe", "crest"], []]);
  assert.deepEqual(
    [spotsOf("scald"), spotsOf("gully-head"), spotsOf("catchment")],
    [["peg"], ["peg"], ["peg"]],
    "a slope is booked down it",
  );
  assert.deepEqual(
    (["bed", "peg", "toe", "crest", "mark", "section"] as const).map((spot) => wantsChainage({ spot })),
    [true, true, false, false, false, true],
  );
  assert.equal(wantsChainage({ spot: "section", marked: true }), false, "a cross-section that was marked has its own");
});
