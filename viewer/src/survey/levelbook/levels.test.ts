import assert from "node:assert/strict";
import test from "node:test";
import type { Types } from "../../compute/types/index.ts";
import { newBook, openBook, type Book } from "./book.ts";
import { askFor, isProven, levelsOf, standing, worstOf, wrongWords } from "./levels.ts";
import { knownPoints, levelOfMark } from "./known.ts";
import type { Row } from "./row.ts";

const bookOf = (rows: Row[]): Book => {
  const b = newBook("run", "Run 1", "2026-11-25");
  return { ...b, rows, pad: { ...b.pad, at: rows.length, cell: "is" } };
};
const bm: Row = { point: "BM1", bs: 1.5, knownLevelM: 100 };

test("a book that is not whole is given one more sight, on the point sighted last", () => {
  for (const [name, rows, want] of [
    ["backsight alone", [bm], { point: "", fs: 1.5 }],
    ["intermediate", [bm, { point: "1", is: 1.2 }], { point: "", fs: 1.2 }],
    ["change point", [bm, { point: "CP1", fs: 1.1, bs: 1.9 }], { point: "", fs: 1.9 }],
    ["upside down", [bm, { point: "pipe", is: 2.1, inverted: true }], { point: "", fs: 2.1, inverted: true }],
    ["struck last", [bm, { point: "1", is: 1.2 }, { point: "2", is: 9, struck: true }], { point: "", fs: 1.2 }],
  ] as [string, Row[], Row][]) {
    const ask = askFor(bookOf(rows))!;
    assert.equal(ask.open, true, name);
    assert.deepEqual(ask.input.rows, [...rows, want], name);
  }
});

test("a book is judged by the rule that it was given, with the staff that it was read on", () => {
  for (const [rule, tolerance] of [
    [{ per: "km", mm: 12 }, { perRootKmMm: 12 }],
    [{ per: "set-up", mm: 5 }, { perRootSetupMm: 5 }],
  ] as const) {
    const { input } = askFor({ ...bookOf([bm]), rule })!;
    assert.deepEqual([input.tolerance, "staffLengthM" in input], [tolerance, false]);
  }
  assert.equal(askFor({ ...bookOf([bm]), staffLengthM: 7 })!.input.staffLengthM, 7);
});

test("a whole book is asked as it is", () => {
  const ask = askFor(bookOf([bm, { point: "CP1", fs: 1.1 }]))!;
  assert.equal(ask.open, false);
  assert.equal(ask.input.rows.length, 2);
  assert.equal(askFor(bookOf([])), null);
  assert.equal(askFor(bookOf([{ point: "BM1", bs: 1.5 }])), null, "no known level");
});

test("a staff longer than the usual one, as the run says, is asked about", () => {
  const feature = {
    id: "run",
    fields: { kind: "level-run", name: "Run 1", staffLengthM: 7, rows: [bm, { point: "CP1", fs: 5.4 }] },
  } as unknown as Parameters<typeof openBook>[0];
  assert.equal(askFor(openBook(feature))!.input.staffLengthM, 7);
  assert.equal("staffLengthM" in askFor(bookOf([bm, { point: "CP1", fs: 1.1 }]))!.input, false, "the usual staff");
});

const run = (more: Partial<Types["level-run"]["output"]>): Types["level-run"]["output"] => ({
  rows: [],
  sums: { bs: 0, fs: 0, rise: 0, fall: 0 },
  arithmeticOK: true,
  setups: 1,
  closed: false,
  unfinished: false,
  closures: [],
  adjustedBy: "none",
  basis: "unproven",
  reasons: [],
  cautions: [],
  ...more,
});

test("open, closed and out are told apart, and nothing open is called proven", () => {
  const closure = (closed: boolean) => [{ row: 2, setups: 1, misclosureM: 0.042, closed }];
  for (const [name, levels, state, words] of [
    ["open", levelsOf(run({}), 2, true), "open", /^Not closed yet/],
    ["ends on no known level", levelsOf(run({}), 2, false), "open", /^Not closed yet/],
    [
      "open after closing on the way",
      levelsOf(run({ closures: closure(true), misclosureM: 0.001, closed: true }), 2, true),
      "open",
      /^Not closed yet/,
    ],
    [
      "closed",
      levelsOf(run({ closures: closure(true), misclosureM: -0.004, allowableM: 0.0122, closed: true }), 2, false),
      "closed",
      /^Closed: out by 4.0 mm, 12.2 mm allowed\.$/,
    ],
    [
      "out",
      levelsOf(run({ closures: closure(false), misclosureM: 0.042, allowableM: 0.0122 }), 2, false),
      "out",
      /^Does not close: out by 42.0 mm, 12.2 mm allowed/,
    ],
    ["bad arithmetic", levelsOf(run({ arithmeticOK: false, closed: true }), 2, false), "out", /^Does not close/],
  ] as const) {
    assert.equal(standing(levels).state, state, name);
    assert.match(standing(levels).words, words, name);
  }
});

test("a run of several loops is out by its worst one, with what is allowed of that, not by their sum", () => {
  const at = (row: number, misclosureM: number, allowableM?: number, closed = true) => ({
    ...{ row, setups: 4, misclosureM, closed },
    ...(allowableM !== undefined && { allowableM }),
  });
  const rows = ["Start", "Gate post", ""].map((point) => ({ point, setup: 0 }));
  const sum = { rows, misclosureM: 0.003, allowableM: 0.0112, closed: true };
  const loops = run({ ...sum, closures: [at(2, 0.004, 0.01), at(3, -0.001, 0.005)] });
  const said = standing(levelsOf(loops, 3, false));
  assert.equal(said.words, "Closed: out by 4.0 mm, 10.0 mm allowed, as far as Gate post.");
  assert.equal(said.short, "Closed: out by 4.0 mm");
  const on = standing(levelsOf({ ...loops, closed: false, closedToRow: 3 }, 3, true)).words;
  assert.match(
    on,
    /^Closed as far as row 3: out by 4.0 mm, 10.0 mm allowed, as far as Gate post\. What was read after row 3 is not closed/,
  );
  const once = standing(levelsOf({ ...loops, closed: false, closedToRow: 2 }, 3, true)).words;
  assert.match(once, /^Closed as far as Gate post: out by 4.0 mm, 10.0 mm allowed\. What/);
  const out = run({ ...sum, closed: false, closures: [at(2, 0.008, 0.01), at(3, -0.006, 0.005, false)] });
  assert.match(standing(levelsOf(out, 3, false)).words, /^Does not close: out by 6.0 mm, 5.0 mm allowed, as far as row 3\. Its/);
  for (const [name, of, want] of [
    ["nothing to close on", run({}), undefined],
    ["one loop", run({ ...sum, closures: [at(2, 0.003, 0.01)] }), { misclosureM: 0.003, allowableM: 0.0112 }],
    [
      "loops that pass and a sum that does not",
      run({ ...sum, misclosureM: 0.014, closures: [at(2, 0.007, 0.01), at(3, 0.007, 0.01)] }),
      { misclosureM: 0.014, allowableM: 0.0112 },
    ],
    [
      "loops of which one is just allowed, and a sum that is not",
      run({ ...sum, misclosureM: 0.012, closures: [at(2, 0.01, 0.01), at(3, 0.002, 0.01)] }),
      { misclosureM: 0.012, allowableM: 0.0112 },
    ],
    [
      "a sum that is just allowed",
      run({ ...sum, misclosureM: 0.0112, closures: [at(2, 0.007, 0.01), at(3, 0.0042, 0.01)] }),
      { misclosureM: 0.007, allowableM: 0.01, to: "Gate post" },
    ],
    ["only by an intermediate sight", run({ rows, closures: [at(2, 0.02)] }), { misclosureM: 0.02, to: "Gate post" }],
    ["nothing allowed is known", run({ ...sum, closures: [at(2, 0.001), at(3, -0.004)] }), { misclosureM: -0.004, to: "row 3" }],
    ["both right", run({ ...sum, closures: [at(2, 0, 0), at(3, 0, 0.01)] }), { misclosureM: 0, allowableM: 0, to: "Gate post" }],
  ] as const)
    assert.deepEqual(worstOf(of), want, name);
});

test("what is wrong is told by row and column", () => {
  assert.equal(
    wrongWords({ path: "rows[1].fs", reason: "is missing", fix: "book it" }, [bm, { point: "CP1" }]),
    "Row 2 (CP1), foresight: is missing; book it.",
  );
  assert.equal(wrongWords({ reason: "Not here yet.", fix: "Open it once." }, []), "Not here yet; Open it once.");
  assert.equal(wrongWords({ reason: "a run needs two rows" }, []), "a run needs two rows.");
});

test("the levels to close on are those that stand known", () => {
  assert.deepEqual(knownPoints([bm, { point: "x", is: 1, knownLevelM: 9, struck: true }]), [{ point: "BM1", levelM: 100 }]);
});

test("past the last known level the run is told to be closed so far, and its sight counts from that level", () => {
  const rows = [
    { point: "BM1", setup: 0, levelM: 100, adjustedLevelM: 100 },
    { point: "BM1", setup: 1, levelM: 99.998, adjustedLevelM: 100, instrumentLevelM: 101.498 },
  ] as unknown as Types["level-run"]["output"]["rows"];
  const levels = levelsOf(
    run({
      rows,
      closures: [{ row: 2, setups: 1, misclosureM: -0.002, closed: true }],
      misclosureM: -0.002,
      allowableM: 0.005,
      closedToRow: 2,
    }),
    2,
    true,
  );
  assert.equal(standing(levels).state, "on");
  assert.match(standing(levels).words, /^Closed as far as BM1: out by 2.0 mm/);
  assert.equal(levels.sightM, 101.5);
});

test("only a levelled level is proven", () => {
  const of = (basis?: string) => isProven({ point: "1", ...(basis && { basis }) } as Parameters<typeof isProven>[0]);
  assert.deepEqual([of("levelled"), of("unproven"), of(), isProven(undefined)], [true, false, false, false]);
});

test("a benchmark's level is this book's, else the register's, else what another run was given", () => {
  const feature = (id: string, fields: object, struck = false) => ({ id, fields, struck }) as unknown as Parameters<typeof levelOfMark>[0];
  const mark = feature("m", { kind: "benchmark", name: "BM" }),
    said = feature("m", { kind: "benchmark", name: "BM", levelM: 50 });
  const given = (levelM: number, more: object = {}) =>
    [{ point: "BM", bs: 1, feature: "m", spot: "mark", knownLevelM: levelM, ...more }] as Row[];
  const run = (id: string, rows: readonly Row[], struck = false) => feature(id, { kind: "level-run", rows }, struck);
  for (const [name, level, want] of [
    ["this book", levelOfMark(said, given(10), [run("r", given(20))]), 10],
    ["the register", levelOfMark(said, given(10, { struck: true }), [run("r", given(20))]), 50],
    ["another run", levelOfMark(mark, [], [run("r", given(20)), run("s", [{ point: "x", is: 1 }])]), 20],
    ["the last of those", levelOfMark(mark, [], [run("r", given(20)), run("s", given(30))]), 30],
    ["not one that is struck out", levelOfMark(mark, [], [run("r", given(20)), run("s", given(30), true)]), 20],
    ["not another point's", levelOfMark(mark, [], [run("r", given(20, { feature: "n" }))]), undefined],
    ["nobody", levelOfMark(mark, [], []), undefined],
  ] as const) {
    assert.equal(level, want, name);
  }
});

test("a book says plainly how it stands, with what is known of it", () => {
  const said = (run: object, open = false) => {
    const { state, words, short } = standing({
      open,
      rows: [],
      run: { closures: [], arithmeticOK: true, rows: [], closed: false, ...run },
    } as unknown as Parameters<typeof standing>[0]);
    return [state, words, short];
  };
  const useless = "Its levels cannot be used: level it again.";
  const stillOpen = ["open", "Not closed yet. End with a foresight on a point of known level.", "Not closed yet"];
  for (const [run, open, want] of [
    [{}, true, stillOpen],
    [{ closed: true, misclosureM: 0.002 }, true, stillOpen],
    [
      { closures: [{ row: 2, misclosureM: 0.02, allowableM: 0.005, closed: false }] },
      false,
      ["out", `Does not close: out by 20.0 mm, 5.0 mm allowed, as far as row 2. ${useless}`, "Does not close: out by 20.0 mm"],
    ],
    [{ arithmeticOK: false }, false, ["out", `Does not close. ${useless}`, "Does not close"]],
    [
      {
        closures: [
          { row: 2, misclosureM: 0.002, allowableM: 0.005, closed: true },
          { row: 4, misclosureM: -0.0123, allowableM: 0.005, closed: false },
        ],
        misclosureM: -0.0103,
        allowableM: 0.007,
      },
      false,
      ["out", `Does not close: out by 12.3 mm, 5.0 mm allowed, as far as row 4. ${useless}`, "Does not close: out by 12.3 mm"],
    ],
    [
      { closed: true, closures: [{ closed: true }], misclosureM: 0.002, allowableM: 0.007 },
      false,
      ["closed", "Closed: out by 2.0 mm, 7.0 mm allowed.", "Closed: out by 2.0 mm"],
    ],
    [
      { closedToRow: 2, rows: [{}, { point: "BM2" }], misclosureM: 0.002 },
      true,
      [
        "on",
        "Closed as far as BM2: out by 2.0 mm. What was read after BM2 is not closed yet: end with a foresight on a point of known level.",
        "Closed to BM2; not closed since",
      ],
    ],
  ] as const)
    assert.deepEqual(said(run, open), want);
  assert.equal(said({ closedToRow: 2, rows: [{}, { point: "" }], misclosureM: 0 }, true)[2], "Closed to row 2; not closed since");
  assert.equal(standing(null).state, "empty");
});
