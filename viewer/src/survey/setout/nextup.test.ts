// Where the toe of the next dam falls on a levelled bed, and the way there.

import assert from "node:assert/strict";
import test from "node:test";
import type { LongSection } from "../../compute/sheets.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import { moved } from "../../base/plane.ts";
import type { Levels } from "../levelbook/levels.ts";
import type { Row } from "../levelbook/row.ts";
import type { Crest } from "./dams.ts";
import { askPlace, bedOf, standsUpM, tapedUpTo, wayUp } from "./nextup.ts";

const levelsOf = (...m: (number | undefined)[]): Levels => ({
  rows: m.map((levelM) => (levelM === undefined ? undefined : { point: "", setup: 1, levelM })),
  sightM: 102,
  run: undefined as never,
  open: true,
});
const others = [
  { chainageM: 0, levelM: 90 },
  { chainageM: 80, levelM: 91 },
];
const gully = (more: Partial<LongSection> = {}): LongSection => ({
  thalweg: "g",
  lengthM: 100,
  bed: others,
  dams: [],
  pairs: [],
  proven: true,
  notes: [],
  ...more,
});
const crest: Crest = { feature: "d", name: "Dam 1", levelM: 100.6, how: "levelled" };

test("the bed is that of the book, and else of other books that close", () => {
  const at = (chainageM: number | undefined, more: Partial<Row> = {}): Row => ({
    point: "",
    is: 1,
    feature: "g",
    spot: "bed",
    ...(chainageM !== undefined && { chainageM }),
    ...more,
  });
  const rows = [at(10), at(0), at(5, { struck: true }), at(7, { feature: "h" }), at(8, { spot: "toe" }), at(undefined), at(9)];
  const levels = levelsOf(100.4, 100, 99, 98, 97, 96, undefined);
  const own = [
    { chainageM: 0, levelM: 100 },
    { chainageM: 10, levelM: 100.4 },
  ];
  assert.deepEqual(bedOf("g", rows, levels, gully()), own);
  assert.deepEqual(
    bedOf("g", rows, levels, gully({ bookedFromM: 12 })),
    [
      { chainageM: 2, levelM: 100.4 },
      { chainageM: 12, levelM: 100 },
    ],
    "booked from the head",
  );
  assert.deepEqual(bedOf("g", rows.slice(0, 1), levels, gully()), others, "one place is no bed");
  assert.deepEqual(bedOf("g", rows.slice(0, 1), levels, gully({ proven: false })).length, 1, "theirs is not proven");
  assert.deepEqual(bedOf("g", rows, levels, gully({ proven: false })), own);
});

test("the dam below stands where it was taped, or where the level of its toe lies on the bed", () => {
  const placed = (chainageBasis: LongSection["dams"][number]["chainageBasis"]) =>
    gully({
      bookedFromM: 100,
      dams: [
        { id: "e", chainageM: 1, chainageBasis: "taped", basis: "unproven" },
        { id: "d", chainageM: 30, chainageBasis, basis: "unproven" },
      ],
    });
  assert.equal(standsUpM({ ...crest, chainageM: 20 }, placed("taped")), 80, "as booked, from the head");
  assert.equal(standsUpM({ ...crest, chainageM: 20 }, undefined), 20);
  for (const basis of ["taped", "levelled", "unproven"] as const) assert.equal(standsUpM(crest, placed(basis)), 30, basis);
  assert.equal(standsUpM(crest, placed("GPS")), undefined, "a receiver is out by metres");
  assert.equal(standsUpM({ ...crest, feature: "f" }, placed("taped")), undefined);
  assert.equal(standsUpM(crest, undefined), undefined);
  assert.equal(tapedUpTo({ ...crest, chainageM: 20.1 }, 10.2, undefined), 30.3);
  assert.equal(tapedUpTo({ ...crest, chainageM: 20 }, 10, gully({ bookedFromM: 100 })), 10, "towards the head");
  assert.equal(tapedUpTo({ ...crest, chainageM: 20 }, undefined, gully()), undefined);
  assert.equal(tapedUpTo(crest, 10, placed("taped")), undefined, "what a level places is not taped");
});

test("the next toe is looked for as high above the bed as the crest stands, as far as the bed reaches", () => {
  const bed = [
    { chainageM: 5, levelM: 100 },
    { chainageM: 15, levelM: 100.2 },
    { chainageM: 30, levelM: 101.2 },
  ];
  for (const [fromM, crestM, want] of [
    [5, 100.5, 0.5],
    [10, 100.5, 0.4],
    [15, 100.5, 0.3],
    [18, 101, 0.6],
    [29.9, 101.5, 0.307],
    [4.9, 100.5, undefined],
    [30, 102, undefined],
    [10, 100.1, undefined], // level with the bed
    [10, 100, undefined],
  ] as const) {
    const asked = askPlace(bed, { ...crest, chainageM: fromM, levelM: crestM }, undefined, 0.5);
    assert.equal(asked?.crestHeightM?.toFixed(3), want?.toFixed(3), `from ${fromM} m, ${crestM}`);
    if (asked) assert.deepEqual([asked.bed, asked.fromM, asked.depositSlopePct, asked.basis], [bed, fromM, 0.5, "unproven"]);
  }
  const low = { ...crest, chainageM: 5 };
  assert.deepEqual([askPlace(bed.slice(0, 1), low, undefined, 0), askPlace([], low, undefined, 0)], [null, null]);
  assert.equal(askPlace(bed, crest, undefined, 0), null, "nobody knows where the dam below stands");
  assert.equal(askPlace(bed, { ...crest, chainageM: 20 }, gully({ bookedFromM: 30 }), 0)!.fromM, 10, "booked from the head");
});

test("the way to the next toe is told by the tape, and by the line where the receiver can tell", () => {
  const start = { lon: 146.5, lat: -20.25 };
  const place = (northM: number): [number, number] => {
    const { lon, lat } = moved(start, 0, northM);
    return [lon, lat];
  };
  const line = [place(0), place(100)];
  const drawn = gully({
    bed: [
      { chainageM: 0, levelM: 100 },
      { chainageM: 100, levelM: 101 },
    ],
    line: { atFirstM: 0 },
  });
  const dam = (fields: Fields): Feature => ({
    ...{ id: "d", property: "p", struck: false, clashes: [], saw: {}, stamp: "0", unsent: 0 },
    fields: { kind: "check-dam", ...fields },
  });
  const stands = { geometry: { type: "Point", coordinates: place(40) }, accuracyM: 2 };
  const fix = { ...start, accuracyM: 3 };
  const tape = "By the levelled bed: 20.0 m up from the toe of Dam 1.";
  const way = wayUp(20, crest, dam(stands), line, drawn, fix);
  assert.equal(way.words, `${tape} 60 m north, ±5 m by GPS.`);
  assert.equal(way.arrow?.distance, "60 m");
  const down = wayUp(20, crest, dam(stands), line, gully({ ...drawn, line: { atFirstM: 100, down: true } }), fix);
  assert.equal(down.arrow?.distance, "20 m", "the line was drawn from the head");
  const rough = wayUp(7, crest, dam(stands), line, drawn, fix);
  assert.deepEqual(rough, { words: "By the levelled bed: 7.0 m up from the toe of Dam 1. Tape it: by GPS it is ±4 m." });
  for (const [why, known] of [
    ["no line", wayUp(20, crest, dam(stands), undefined, drawn, fix)],
    ["it is not known how the line lies", wayUp(20, crest, dam(stands), line, gully(), fix)],
    ["no gully", wayUp(20, crest, dam(stands), line, undefined, fix)],
    ["no position", wayUp(20, crest, dam(stands), line, drawn, null)],
    ["no dam below", wayUp(20, crest, undefined, line, drawn, fix)],
    ["it has no place", wayUp(20, crest, dam({ accuracyM: 2 }), line, drawn, fix)],
    ["it is a line", wayUp(20, crest, dam({ ...stands, geometry: { type: "LineString", coordinates: line } }), line, drawn, fix)],
    ["nobody knows how well it is placed", wayUp(20, crest, dam({ geometry: stands.geometry }), line, drawn, fix)],
    ["beyond the end of the line", wayUp(61, crest, dam(stands), line, drawn, fix)],
  ] as const)
    assert.deepEqual(known, { words: tape.replace("20.0", why.startsWith("beyond") ? "61.0" : "20.0") }, why);
});
