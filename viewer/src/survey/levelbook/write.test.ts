import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../../base/entry.ts";
import { dueCells, fieldsOf, newBook, openBook, padFor, unrecorded, type Book } from "./book.ts";
import { chosen, whole } from "./drafts.ts";
import { nextStand, pointOf } from "./point.ts";
import type { Key } from "./keyed.ts";
import type { KnownPoint } from "./known.ts";
import { live, type Row, type Stand } from "./row.ts";
import { chainageQuestion, isProposed, padRow, withPad, write, type Act } from "./write.ts";

/** "1.842=" keys and books; "I" and "F" choose the sight. */
function wrote(book: Book, keys: string): Book {
  return [...keys].reduce((b, k) => {
    const act: Act =
      k === "="
        ? { do: "book" }
        : k === "I"
          ? { do: "sight", cell: "is" }
          : k === "F"
            ? { do: "sight", cell: "fs" }
            : { do: "key", key: k as Key };
    return write(b, act);
  }, book);
}

const empty = (): Book => newBook("run", "Run 1", "2026-11-25");
const begun = (): Book => wrote(empty(), "1.842=50.0=");
const correct = (book: Book, at: number, stand: Stand | null = null): Book => write(book, { do: "correct", at, stand });
const bed: Stand = { feature: "gully", name: "Main gully", spot: "bed" };

test("a book begins with a backsight on a known level", () => {
  const asked = wrote(empty(), "1.842=");
  assert.equal(asked.rows.length, 0, "booked without a level");
  assert.equal(asked.pad.box, "known");
  assert.deepEqual(begun().rows, [{ point: "Start", bs: 1.842, knownLevelM: 50 }]);
  const again = wrote(write(begun(), { do: "strike", at: 0 }), "1.9=");
  assert.deepEqual([again.rows.length, again.pad.box], [1, "known"], "and so after one that is struck out");
  const known = write(empty(), { do: "text", box: "known", text: "50" });
  assert.deepEqual([padRow(known), withPad(known)], [undefined, []], "a level alone is no row");
});

test("a change point is a foresight and then a backsight on one row", () => {
  let b = wrote(begun(), "1.655=F0.975=");
  assert.deepEqual(b.rows[2], { point: "CP1", fs: 0.975 });
  assert.equal(padRow(b), undefined, "nothing is keyed of its backsight");
  assert.equal(b.pad.cell, "bs");
  assert.equal(pointOf(b), "CP1");
  assert.deepEqual(dueCells(b.rows), ["bs"]);
  b = wrote(b, "2.46=");
  assert.deepEqual(b.rows[2], { point: "CP1", fs: 0.975, bs: 2.46 });
  assert.deepEqual(dueCells(b.rows), ["is", "fs"]);
  assert.equal(write(wrote(begun(), "F0.975="), { do: "sight", cell: "is" }).pad.cell, "bs", "no other sight before the backsight");
});

test("a mistake is struck through and stays beside what replaces it", () => {
  const wrong = wrote(begun(), "1.655=F0.975=2.46=1.12=");
  let b = correct(wrong, 2);
  assert.deepEqual(b.rows, wrong.rows, "nothing is struck before the new figure is booked");
  b = wrote(b, "0.957=");
  assert.deepEqual(
    b.rows.map((r) => [r.struck ?? false, r.fs, r.bs, r.is]),
    [
      [false, undefined, 1.842, undefined],
      [false, undefined, undefined, 1.655],
      [true, 0.975, 2.46, undefined],
      [false, 0.957, 2.46, undefined],
      [false, undefined, undefined, 1.12],
    ],
  );
  assert.equal(b.due, true);
  assert.equal(b.pad.at, 5, "the pad goes on at the end");
  assert.deepEqual(write(b, { do: "take back" }).rows, wrong.rows);
  b = write(b, { do: "strike", at: 4 });
  assert.equal(b.rows[4]!.struck, true);
  b = write(b, { do: "strike", at: 4 });
  assert.equal("struck" in b.rows[4]!, false, "put back");
});

test("every step can be taken back", () => {
  const start = begun();
  let b = wrote(start, "1.655=");
  b = write(b, { do: "strike", at: 1 });
  b = write(b, { do: "take back" });
  assert.equal(b.rows[1]!.struck, undefined);
  b = write(b, { do: "take back" });
  assert.deepEqual(b.rows, start.rows);
  assert.equal(b.pad.texts.reading, "1.655", "what was typed is there again");
  assert.equal(b.due, false, "the register never heard of it");
  assert.equal(write({ ...b, recorded: { name: "Run 1" } }, { do: "take back" }).due, true);
});

test("readings belong to a thing, and the next place is foreseen", () => {
  let b = write(begun(), { do: "stand", stand: bed });
  b = wrote(b, "1.3=");
  assert.equal(b.pad.box, "chainage", "a bed level wants its chainage");
  b = wrote(b, "0=1.2=10=");
  assert.equal(b.pad.texts.chainage, "20");
  assert.deepEqual(
    b.rows.slice(1).map((r) => [r.point, r.feature, r.spot, r.chainageM]),
    [
      ["Bed at 0 m", "gully", "bed", 0],
      ["Bed at 10 m", "gully", "bed", 10],
    ],
  );
  b = wrote(b, "F1.1=1.9=");
  assert.deepEqual(b.rows[3], { point: "CP1", fs: 1.1, bs: 1.9 }, "a change point is no bed level");
  assert.deepEqual([b.pad.stand, b.pad.texts.chainage], [bed, "20"], "the bed goes on after it");
});

test("a level that is proposed goes with the point it is of; one that was keyed stays", () => {
  const mark: Stand = { feature: "m", name: "BM9", spot: "mark" };
  const onMark = write(write(write(begun(), { do: "sight", cell: "fs" }), { do: "stand", stand: mark }), {
    do: "suggest",
    box: "known",
    text: "50",
  });
  const keyed = write(onMark, { do: "text", box: "known", text: "51" });
  for (const [name, act] of [
    ["nothing under the staff", { do: "stand", stand: null }],
    ["another thing", { do: "stand", stand: bed }],
    ["another sight", { do: "sight", cell: "is" }],
  ] as [string, Act][]) {
    const { texts, suggested } = write(onMark, act).pad;
    assert.deepEqual([texts.known, suggested.includes("known")], ["", false], name);
    assert.equal(write(keyed, act).pad.texts.known, "51", name);
  }
  assert.equal(write(onMark, { do: "sight", cell: "fs" }).pad.texts.known, "50", "the same sight changes nothing");
});

test("the next chainage follows the last two of the same place", () => {
  const at = (feature: string, spot: Stand["spot"], chainageM?: number, struck = false): Row =>
    ({ point: "", is: 1, feature, spot, ...(chainageM !== undefined && { chainageM }), ...(struck && { struck }) }) as Row;
  for (const [name, rows, want] of [
    ["none", [], ""],
    ["one", [at("gully", "bed", 10)], ""],
    ["two", [at("gully", "bed", 10), at("gully", "bed", 25)], "40"],
    ["the last two of three", [at("gully", "bed", 0), at("gully", "bed", 10), at("gully", "bed", 12.5)], "15"],
    ["another gully's between", [at("gully", "bed", 10), at("other", "bed", 90), at("gully", "bed", 15)], "20"],
    ["another spot between", [at("gully", "bed", 10), at("gully", "peg", 90), at("gully", "bed", 15)], "20"],
    ["one struck out", [at("gully", "bed", 10), at("gully", "bed", 90, true), at("gully", "bed", 15)], "20"],
    ["one without", [at("gully", "bed", 10), at("gully", "bed"), at("gully", "bed", 15)], "20"],
    ["another's alone", [at("other", "bed", 10), at("other", "bed", 20)], ""],
  ] as [string, Row[], string][]) {
    assert.deepEqual(nextStand(rows, bed), { stand: bed, chainage: want }, name);
  }
});

test("after the toe of a dam comes its crest", () => {
  const b = wrote(write(begun(), { do: "stand", stand: { feature: "d3", name: "Dam 3", spot: "toe" } }), "1.2=");
  assert.equal(b.rows[1]!.point, "Dam 3 toe");
  assert.equal(b.pad.stand?.spot, "crest");
  assert.equal(wrote(b, "0.8=").pad.stand, null);
});

test("points are numbered by the book unless they are named", () => {
  let b = wrote(begun(), "1=1=F1=1=");
  assert.deepEqual(
    b.rows.map((r) => r.point),
    ["Start", "1", "2", "CP1"],
  );
  b = wrote(write(b, { do: "strike", at: 2 }), "1=");
  assert.equal(b.rows[4]!.point, "3", "a struck row keeps its number");
  b = wrote(write(b, { do: "point", point: " culvert " }), "1=");
  assert.equal(b.rows[5]!.point, "culvert");
});

test("a direct-reading staff is turned over as it is booked", () => {
  let b = write(empty(), { do: "about", instrument: "Laser, direct-reading staff" });
  b = wrote(b, "0.000=100=0.34=");
  assert.deepEqual(
    b.rows.map((r) => r.bs ?? r.is),
    [0, -0.34],
  );
  assert.ok(!Object.is(b.rows[0]!.bs, -0), "nought has no sign");
  assert.equal(write(b, { do: "about", instrument: "Dumpy level" }).instrument, "Laser, direct-reading staff", "settled by the first row");
});

test("a run may end on a point of known level", () => {
  let b = wrote(begun(), "F1.842=");
  b = write(b, { do: "known", at: 1, levelM: 50 });
  assert.equal(b.rows[1]!.knownLevelM, 50);
  assert.equal(b.rows[1]!.bs, undefined);
  b = write(b, { do: "known", at: 1, levelM: null });
  assert.equal("knownLevelM" in b.rows[1]!, false);
  b = write(b, { do: "box", box: "known" });
  assert.equal(wrote(b, "50.1=").rows[1]!.knownLevelM, 50.1, "typed");
});

test("a row on a point of known level takes its name, where the book gave one", () => {
  const ended = wrote(begun(), "F1.842=");
  const on = { point: "BM9", levelM: 50, feature: "m" };
  const known = (row: Partial<Row>, point: KnownPoint) =>
    write({ ...ended, rows: [ended.rows[0]!, { ...ended.rows[1]!, ...row }] }, { do: "known", at: 1, levelM: 50, on: point }).rows[1];
  const row = { fs: 1.842, knownLevelM: 50 };
  assert.deepEqual(known({}, on), { ...row, point: "BM9", feature: "m", spot: "mark" });
  assert.deepEqual(known({}, { point: "Start", levelM: 50 }), { ...row, point: "Start" });
  assert.deepEqual(known({ point: "gate" }, on), { ...row, point: "gate" }, "the officer's own");
  assert.deepEqual(known({ feature: "d", spot: "toe" }, on), { ...row, point: "CP1", feature: "d", spot: "toe" }, "a dam's");
});

test("a reading that another screen took goes to the end, and what is on the pad stays", () => {
  const peg: Row = { point: "Peg 1", is: 1.2, feature: "g", spot: "peg" };
  const typed = wrote(begun(), "1.3");
  const more = write(typed, { do: "add", row: peg });
  assert.deepEqual([more.rows[1], more.pad, more.due], [peg, { ...typed.pad, at: 2 }, false]);
  assert.equal(write(typed, { do: "add", row: { point: "CP1", fs: 1 } }).due, true);
  const waiting = wrote(begun(), "F1=1.3");
  assert.deepEqual(write(waiting, { do: "add", row: peg }).pad, waiting.pad, "a backsight is wanted where it was");
  const again = write(correct(typed, 0), { do: "add", row: peg }).pad;
  assert.deepEqual([again.at, again.correction!.back.at, again.correction!.back.texts.reading], [0, 2, "1.3"]);
});

test("the register is told at a foresight, and only what changed", () => {
  let b = wrote(begun(), "1.2=");
  assert.equal(b.due, false);
  b = wrote(b, "F1.1=");
  assert.equal(b.due, true);
  const sent = unrecorded(b)!;
  assert.deepEqual(Object.keys(sent).sort(), ["kind", "name", "observedOn", "rows"]);
  b = write(b, { do: "recorded", fields: sent });
  assert.deepEqual([b.due, unrecorded(b)], [false, null]);
  assert.deepEqual(Object.keys(unrecorded(wrote(b, "2.0="))!), ["rows"]);
  assert.equal(wrote(b, "2.0=").due, false, "a backsight waits for the next foresight");
});

test("what is booked while the book is being recorded stays due", () => {
  let b = wrote(begun(), "F1.1=");
  const sent = unrecorded(b)!;
  b = wrote(b, "1.9=F1.0=");
  b = write(b, { do: "recorded", fields: sent });
  assert.equal(b.due, true);
  assert.deepEqual(unrecorded(b), { rows: b.rows });
});

const feature = (b: Book): Feature => ({
  id: b.id,
  property: "p",
  fields: fieldsOf(b),
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
});

test("a draft stands while it has what the register does not", () => {
  let b = wrote(begun(), "F1.1=");
  b = write(b, { do: "recorded", fields: unrecorded(b)! });
  const half = wrote(b, "1.9");
  assert.equal(chosen(half, feature(b))!.pad.texts.reading, "1.9", "half a reading");
  assert.equal(chosen(wrote(half, "="), feature(b))!.rows[1]!.bs, 1.9, "a row not recorded");
  const other = { ...b, rows: [...b.rows.slice(0, 1), { point: "CP1", fs: 1.2 }] as Row[] };
  assert.equal(chosen(b, feature(other))!.rows[1]!.fs, 1.2, "another phone's row");
  assert.equal(chosen(undefined, undefined), undefined);
  assert.deepEqual(openBook(feature(b)).rows, b.rows);
  assert.equal(unrecorded(openBook(feature(b))), null, "opening changes nothing");
  const bare = openBook({ ...feature(b), fields: { kind: "level-run", rows: [{ bs: 1 }, "no row"] } });
  assert.equal(unrecorded(bare), null, "nor for a run from a file");
  assert.deepEqual(Object.keys(unrecorded(wrote(bare, "1.2="))!), ["rows"]);
});

test("whatever is done, booked readings are never lost and one row at most waits for its backsight", () => {
  let seed = 7;
  const random = (n: number) => (seed = (seed * 1103515245 + 12345) % 2147483648) % n;
  for (let run = 0; run < 300; run++) {
    let b = begun();
    const booked = { bs: new Set<number>(), is: new Set<number>(), fs: new Set<number>() };
    const cells = ["bs", "is", "fs"] as const;
    const noted = new Set<Row>(); // rows are never changed, only replaced
    const note = () => {
      for (const row of b.rows) {
        if (noted.has(row)) continue;
        noted.add(row);
        for (const cell of cells) if (row[cell] !== undefined) booked[cell].add(row[cell]);
      }
    };
    for (let i = 0; i < 40; i++) {
      const at = random(b.rows.length);
      switch (random(11)) {
        case 0:
          b = write(b, { do: "strike", at });
          break;
        case 1:
          b = write(correct(b, at), { do: "sight", cell: (["bs", "is", "fs"] as const)[random(3)]! });
          break;
        case 2:
          b = write(b, { do: "sight", cell: "fs" });
          break;
        case 3:
          b = write(b, { do: "sight", cell: "is" });
          break;
        case 4:
          b = write(b, { do: "take back" });
          cells.forEach((cell) => booked[cell].clear());
          noted.clear();
          break; // what was booked last is back on the pad
        case 5:
          b = write(b, { do: "leave" });
          break;
        default:
          b = wrote(b, `${random(4)}.${100 + random(900)}=${random(2) ? "100=" : ""}`);
      }
      note();
      for (const cell of cells) {
        const stands = new Set(b.rows.map((row) => row[cell]));
        for (const reading of booked[cell]) if (!stands.has(reading)) assert.fail(`run ${run}: ${cell} ${reading} is gone`);
      }
      assert.ok(b.pad.at <= b.rows.length);
      const shown = withPad(b);
      assert.ok(shown.length >= b.rows.length, "the pad hides no row");
      if (padRow(b) && b.pad.at < b.rows.length) assert.ok(!b.rows[b.pad.at]!.struck, "the pad writes in a struck row");
    }
    assert.ok(live(b.rows).length <= b.rows.length);
  }
});

test("a level that has not moved goes on with the reading that ended the run", () => {
  const ended = wrote(begun(), "1.655=F0.975=");
  const on = write(ended, { do: "unmoved" });
  assert.deepEqual(on.rows[2], { point: "CP1", fs: 0.975, bs: 0.975, remark: "level not moved" });
  assert.deepEqual(dueCells(on.rows), ["is", "fs"]);
  assert.equal(write(on, { do: "unmoved" }), on, "only after a foresight");
  assert.equal(write(begun(), { do: "unmoved" }).rows.length, 1);
  const again = correct(ended, 2);
  assert.equal(write(again, { do: "unmoved" }), again, "not while a row is written again");
  const amid = { ...ended, rows: [...ended.rows, { point: "3", is: 1 }] };
  assert.equal(write(amid, { do: "unmoved" }), amid, "not where the run goes on");
});

test("a proposed number is replaced by the first figure, and edited by the other keys", () => {
  const walked = [
    ["1.6=", "0="],
    ["1.5=", "10="],
  ].reduce((b, [read, up]) => wrote(wrote(b, read!), up!), write(begun(), { do: "stand", stand: bed }));
  assert.equal(walked.pad.texts.chainage, "20");
  const at = write(walked, { do: "box", box: "chainage" });
  assert.equal(wrote(at, "2").pad.texts.chainage, "2");
  assert.equal(wrote(at, "25").pad.texts.chainage, "25");
  assert.equal(write(at, { do: "key", key: "rub" }).pad.texts.chainage, "2");
});

test("no chainage is proposed beyond the ends of a line, and one that is keyed is asked about", () => {
  const on: Stand = { feature: "g", name: "Emu gully", spot: "bed", lengthM: 45 };
  const at = (...chainages: number[]) =>
    chainages.map((chainageM) => ({ point: "", is: 1, feature: "g", spot: "bed" as const, chainageM }));
  const proposes = (...chainages: number[]) => nextStand(at(...chainages), on).chainage;
  assert.deepEqual([proposes(15, 30), proposes(20, 40), proposes(25, 10), proposes(20, 10)], ["45", "", "", "0"]);
  const book = { ...begun(), rows: [...begun().rows, ...at(20, 40)] };
  const ask = (chainage: string) =>
    chainageQuestion({ ...book, pad: { ...book.pad, at: 3, stand: on, texts: { ...book.pad.texts, chainage } } });
  assert.equal(ask("59"), undefined, "a tape in a bed runs longer than the line");
  assert.equal(ask("59.5"), "Emu gully was recorded 45 m long. Chainage 59.5 m is beyond its end: is it right?");
});

test("a run closes on the point where it began, chosen before its foresight is read", () => {
  const chosen: Act[] = [
    { do: "sight", cell: "fs" },
    { do: "stand", stand: null },
    { do: "point", point: "Start" },
    { do: "suggest", box: "known", text: "50" },
  ];
  const closed = wrote(chosen.reduce(write, wrote(begun(), "1.655=")), "1.84=");
  assert.deepEqual(closed.rows[2], { point: "Start", fs: 1.84, knownLevelM: 50 });
});

test("a chainage that jumps absurdly is asked about, and booked when it is right", () => {
  const walked = [
    ["1.6=", "20="],
    ["1.5=", "40="],
  ].reduce((b, [read, up]) => wrote(wrote(b, read!), up!), write(begun(), { do: "stand", stand: bed }));
  const keyed = wrote(write(wrote(walked, "1.2"), { do: "box", box: "chainage" }), "4500");
  const asked = wrote(keyed, "=");
  assert.equal(asked.rows.length, keyed.rows.length);
  assert.equal(asked.pad.doubted, "4500");
  assert.equal(isProposed(asked), false, "nor is it proposed");
  assert.equal(wrote(asked, "=").rows.length, keyed.rows.length, "pressing again is no answer");
  assert.equal(live(write(asked, { do: "book", sure: true }).rows).slice(-1)[0]!.row.chainageM, 4500);
  assert.equal(wrote(wrote(asked, "60"), "=").rows.slice(-1)[0]!.chainageM, 60);
});

test("an instrument and a rule that nobody chose are not recorded; reading a run again changes nothing of it", () => {
  const b = wrote(begun(), "1.2=F1.1=");
  assert.deepEqual([fieldsOf(b)["instrument"], fieldsOf(b)["perRootSetupMm"], fieldsOf(b)["perRootKmMm"]], [null, null, null]);
  const said = write(write(b, { do: "about", instrument: "Dumpy level" }), { do: "about", rule: { per: "km", mm: 12 } });
  assert.deepEqual(
    [fieldsOf(said)["instrument"], fieldsOf(said)["perRootSetupMm"], fieldsOf(said)["perRootKmMm"]],
    ["Dumpy level", null, 12],
  );
  assert.deepEqual([said.name, write(said, { do: "about", name: "Run A" }).name], ["Run 1", "Run A"]);
  const stored: Feature = {
    id: "r",
    property: "p",
    fields: { kind: "level-run", name: "Run 1", observedOn: "2026-11-20", rows: b.rows },
    struck: false,
    clashes: [],
    saw: {},
    stamp: "1",
    unsent: 0,
  };
  assert.equal(unrecorded(openBook(stored)), null, "an old run without them stays without them");
  for (const [fields, rule, chosen] of [
    [{}, { per: "set-up", mm: 5 }, false],
    [{ perRootSetupMm: 3 }, { per: "set-up", mm: 3 }, true],
    [{ perRootKmMm: 12 }, { per: "km", mm: 12 }, true],
    [{ perRootSetupMm: 3, perRootKmMm: 12 }, { per: "set-up", mm: 3 }, true],
  ] as const) {
    const { rule: read, ruleChosen } = openBook({ ...stored, fields: { ...stored.fields, ...fields } });
    assert.deepEqual([read, ruleChosen], [rule, chosen], JSON.stringify(fields));
  }
});

test("a chainage that is proposed is booked only once it was before the officer", () => {
  const stand = { feature: "g", name: "Main gully", spot: "bed" as const };
  const rows = [
    { point: "BM1", bs: 1.842, knownLevelM: 50 },
    { point: "1", is: 1.655, feature: "g", spot: "bed" as const, chainageM: 0 },
    { point: "2", is: 1.31, feature: "g", spot: "bed" as const, chainageM: 10 },
  ];
  let book: Book = { ...newBook("run", "Run 1", "2026-11-25"), rows, pad: padFor(rows) };
  book = write(book, { do: "stand", stand });
  assert.equal(book.pad.texts.chainage, "20", "20 is proposed after 0 and 10");
  book = write(write(book, { do: "text", box: "reading", text: "0.9" }), { do: "book" });
  assert.equal(book.rows.length, 3, "the first press booked a chainage that nobody taped");
  assert.equal(book.pad.box, "chainage");
  assert.ok(isProposed(book));
  for (const [name, act] of [
    ["it was keyed", { do: "key", key: "5" }],
    ["another box is before her", { do: "box", box: "reading" }],
    ["a change point has none", { do: "sight", cell: "fs" }],
    ["nor has a benchmark", { do: "stand", stand: { ...stand, spot: "mark" } }],
    ["a row written again has its own", { do: "correct", at: 1, stand }],
  ] as [string, Act][])
    assert.equal(isProposed(write(book, act)), false, name);
  const own = write(write(book, { do: "correct", at: 1, stand }), { do: "box", box: "chainage" });
  assert.equal(isProposed(own), false, "also when it is before her");
  book = write(book, { do: "book" });
  assert.equal(book.rows[3]?.chainageM, 20, "the second press did not take it");
});

const across: Stand = { feature: "x", name: "Across 1", spot: "section", marked: true };
const acrossGully: Stand = { ...bed, spot: "section" };
const on = (book: Book, stand: Stand | null): Book => write(book, { do: "stand", stand });

test("a point of a cross-section has an offset, and a minus is left", () => {
  let b = wrote(on(begun(), across), "1.5=");
  assert.deepEqual([b.rows.length, b.pad.box], [1, "offset"], "booked without one");
  b = wrote(b, "2.5");
  b = wrote(write(b, { do: "key", key: "sign" }), "=");
  assert.deepEqual(b.rows[1], { point: "Across 1, 2.5 m left", is: 1.5, feature: "x", spot: "section", offsetM: -2.5 });
  b = wrote(b, "2.1=0=");
  assert.deepEqual(b.rows[2], { point: "Across 1, on the thalweg", is: 2.1, feature: "x", spot: "section", offsetM: 0 });
  const far = wrote(b, "1.2=501=");
  assert.deepEqual([far.rows.length, far.pad.box], [3, "offset"], "the register would refuse the book");
  const back = wrote(correct(b, 2, across), "=");
  assert.equal(back.rows.length, 3, "nothing was changed");
  let again = write(correct(b, 2, across), { do: "text", box: "offset", text: "0.4" });
  again = wrote(again, "=");
  assert.deepEqual(
    [again.rows[2]!.struck, again.rows[3]],
    [true, { point: "Across 1, 0.4 m right", is: 2.1, feature: "x", spot: "section", offsetM: 0.4 }],
  );
  const elsewhere = wrote(write(correct(b, 1, across), { do: "stand", stand: null }), "1.5=");
  assert.deepEqual([elsewhere.rows[2]!.offsetM, elsewhere.rows[2]!.spot], [undefined, undefined], "no offset without its spot");
});

test("a cross-section booked on the thalweg goes on at the chainage of its first point", () => {
  let b = wrote(on(begun(), bed), "1.9=40=");
  b = on(b, acrossGully);
  assert.deepEqual([b.pad.texts.chainage, b.pad.suggested.includes("chainage")], ["40", true], "where the bed was booked");
  b = wrote(b, "1.5=");
  assert.deepEqual([b.pad.box, isProposed(b)], ["chainage", true], "a proposed chainage is looked at once");
  b = wrote(b, "=");
  assert.equal(b.pad.box, "offset");
  b = wrote(b, "3=");
  assert.deepEqual(b.rows[2], {
    point: "Section at 40 m, 3 m right",
    is: 1.5,
    feature: "gully",
    spot: "section",
    chainageM: 40,
    offsetM: 3,
  });
  b = wrote(b, "1.4=4=");
  assert.deepEqual([b.rows[3]!.chainageM, b.rows[3]!.offsetM], [40, 4], "and not again");
  const bedAgain = on(b, bed);
  assert.deepEqual(wrote(bedAgain, "1.8=41=").rows[4], { point: "Bed at 41 m", is: 1.8, feature: "gully", spot: "bed", chainageM: 41 });
});

test("a draft of an older page has no offset, and goes on", () => {
  const { offset: _none, ...texts } = begun().pad.texts;
  const b = whole({ ...begun(), pad: { ...begun().pad, texts: texts as Book["pad"]["texts"] } });
  assert.equal(wrote(b, "1.655=").rows.length, 2);
});
