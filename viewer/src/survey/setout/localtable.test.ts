import assert from "node:assert/strict";
import test from "node:test";
import { askBank } from "./banks.ts";
import { askRows, localName, localTableKey, noTable, readTable, withRoom, withRow, wrongOf, type LocalTable } from "./localtable.ts";
import { inWords } from "../../base/problem.ts";

const table = (rows: readonly (readonly [string, string])[], source = ""): LocalTable => ({
  rows: rows.map(([upTo, apart]) => ({ upTo, apart })),
  source,
});

test("rows are read as they are typed, with a comma or a point, empty ones left out", () => {
  assert.deepEqual(
    readTable(
      table([
        ["4", "60"],
        ["", " "],
        ["6,5", "33."],
      ]),
    ),
    {
      rows: [
        { upToPct: 4, spacingM: 60 },
        { upToPct: 6.5, spacingM: 33 },
      ],
      at: [0, 2],
    },
  );
});

test("what is no table is told at the row and the box", () => {
  assert.match(readTable(noTable).wrong!.words, /no row yet/);
  assert.deepEqual(
    readTable(
      table([
        ["4", "60"],
        ["6", ""],
      ]),
    ).wrong,
    { row: 1, box: "apart", words: "Missing." },
  );
  for (const odd of ["abc", "-4", "1e3", "4 %", ".", "Infinity"]) {
    const { wrong } = readTable(table([[odd, "60"]]));
    assert.deepEqual([wrong?.row, wrong?.box], [0, "upTo"], odd);
    assert.ok(wrong!.words.includes(odd), `${wrong!.words} does not name ${odd}`);
  }
});

test("a refusal is told at the row as it was typed, empty rows counted", () => {
  const read = readTable(
    table([
      ["4", "30"],
      ["", ""],
      ["6", "33"],
    ]),
  );
  assert.ok(!read.wrong);
  const wrong = wrongOf(
    { path: "rows[1].spacingM", reason: "33 m on the steeper grade is more than 30 m on the gentler", fix: "were two rows swapped?" },
    read.at,
  );
  assert.deepEqual(wrong, {
    row: 2,
    box: "apart",
    words: "33 m on the steeper grade is more than 30 m on the gentler: were two rows swapped?",
  });
  assert.deepEqual(wrongOf({ path: "rows[0].upToPct", reason: "r" }, read.at), { row: 0, box: "upTo", words: "R." });
  assert.deepEqual(wrongOf({ reason: "the computations are not here" }, read.at), { words: "The computations are not here." });
});

test("a table that a fall is too steep for is told as the track's", () => {
  assert.equal(inWords({ path: "track", reason: "falls by 10 %", fix: "name another" }), "The track falls by 10 %: name another.");
});

test("rows grow one at a time and change one at a time", () => {
  assert.equal(withRoom(noTable), noTable, "there is an empty row to write in");
  const one = withRow(noTable, 0, { upTo: "4" });
  assert.deepEqual(withRoom(one).rows, [
    { upTo: "4", apart: "" },
    { upTo: "", apart: "" },
  ]);
  assert.deepEqual(noTable.rows, [{ upTo: "", apart: "" }], "the old table is as it was");
  assert.notEqual(localTableKey("a"), localTableKey("b"));
});

test("the officer's rows go to the computation with who made them", () => {
  const rows = [{ upToPct: 6, spacingM: 33 }];
  const fall = { topLevelM: 100, hereLevelM: 99, distanceM: 20 };
  const ask = askBank(fall, { table: "local", rows, source: " Shire office " })!;
  assert.deepEqual([ask.table, ask.rows, ask.rowsSource, ask.soil], ["local", rows, "Shire office", undefined]);
  assert.ok(!("rowsSource" in askBank(fall, { table: "local", rows, source: " " })!));
  assert.ok(!("rows" in askBank(fall, { table: "water-bars-one-soil" })!), "a printed table takes no rows");
  assert.deepEqual(
    askRows(rows).track.map((p) => p.levelM),
    [0, 0],
    "no fall: only the rows are judged",
  );
  assert.equal(localName("Shire office"), "the local table (Shire office)");
  assert.match(localName(" "), /source not given/);
});
