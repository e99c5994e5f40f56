// A booked line written again. The wrong line is ruled through and stays where it was,
// readable, with what replaces it right below. Until that is booked nothing of the book has
// changed: a phone that dies meanwhile holds the book as it was, and the half-written line.

import { type Book, freshTexts, type Correction, offsetOn, type Pad, staffIn } from "./book.ts";
import { beginsAt, type Cell, type Row, type Stand } from "./row.ts";
import { keyedIn } from "./keyed.ts";
import { pointOf } from "./point.ts";

/** The pad on which a row of the book is written again, with all but its reading as it was. */
export function padToCorrect(book: Book, at: number, stand: Stand | null): Pad | null {
  const row = book.rows[at];
  if (!row || row.struck) return null;
  const texts = {
    ...freshTexts,
    known: typed(row.knownLevelM),
    chainage: typed(row.chainageM),
    offset: typed(row.offsetM),
    distance: typed(row.distanceM),
  };
  const correction: Correction = { back: book.pad.correction?.back ?? book.pad, other: "" };
  return {
    at,
    cell: correctionCells(book.rows, at)[0]!,
    box: "reading",
    texts,
    suggested: ["known", "chainage", "offset", "distance"],
    doubted: null,
    point: "",
    stand,
    aside: null,
    inverted: row.inverted === true,
    note: row.remark ?? "",
    correction,
  };
}

const typed = (value: number | undefined): string => (value === undefined ? "" : String(value));

/** What a booked row can be: as it is booked first, then the other sights that its place in the book allows. */
export function correctionCells(rows: readonly Row[], at: number): readonly Cell[] {
  const row = rows[at]!;
  if (beginsAt(rows, at)) return ["bs"];
  if (row.bs !== undefined) return ["fs", "bs", "is"];
  return row.fs !== undefined ? ["fs", "is"] : ["is", "fs"];
}

/** Chooses the sight: at a change point what is typed stays with the sight it was typed for. */
export function correctSight(pad: Pad, row: Row, cell: Cell): Pad {
  const apart = row.fs !== undefined && row.bs !== undefined && (pad.cell === "bs") !== (cell === "bs");
  if (!pad.correction || !apart) return { ...pad, cell };
  return {
    ...pad,
    cell,
    texts: { ...pad.texts, reading: pad.correction.other },
    correction: { ...pad.correction, other: pad.texts.reading },
  };
}

/** Puts the staff on another thing, whose chainage is then another too. */
export function correctStand(pad: Pad, stand: Stand | null): Pad {
  const same = pad.stand?.feature === stand?.feature && pad.stand?.spot === stand?.spot;
  return { ...pad, stand, texts: same ? pad.texts : { ...pad.texts, chainage: "", offset: "" } };
}

/** The row as it would replace the one taken up; the same row while nothing is changed. */
export function correctedRow(book: Book): Row {
  const { pad, rows } = book;
  const was = rows[pad.at]!;
  const {
    point: _point,
    bs: _bs,
    is: _is,
    fs: _fs,
    knownLevelM: _level,
    distanceM: _far,
    inverted: _inverted,
    remark: _remark,
    ...others
  } = was;
  const { bookedLevelM, feature, spot, chainageM: _along, offsetM: _across, ...rest } = others;
  const note = pad.note.trim();
  const now = given({
    point: pointOf(book),
    ...readings(book, was),
    knownLevelM: keyedIn(pad.texts.known),
    distanceM: keyedIn(pad.texts.distance),
    inverted: pad.inverted || undefined,
    remark: note || undefined,
    ...(pad.stand ? { feature: pad.stand.feature, spot: pad.stand.spot } : spot === undefined ? { feature } : {}),
    chainageM: keyedIn(pad.texts.chainage),
    offsetM: offsetOn(pad),
  });
  // A level worked out by hand from the wrong figure goes with it.
  const asRead = (["bs", "is", "fs", "knownLevelM", "inverted"] as const).every((name) => now[name] === was[name]);
  const row = { ...rest, ...now, ...(asRead ? given({ bookedLevelM }) : {}) } as Row;
  return sameRow(was, row) ? was : row;
}

function readings(book: Book, was: Row): Pick<{ [cell in Cell]: number | undefined }, Cell> {
  const { pad, instrument, rows } = book;
  const here = staffIn(pad.texts.reading, instrument);
  const other = staffIn(pad.correction?.other ?? "", instrument);
  const none = { bs: undefined, is: undefined, fs: undefined };
  switch (pad.cell) {
    case "is":
      return { ...none, is: here ?? was.is ?? was.fs ?? was.bs };
    case "fs":
      return { ...none, fs: here ?? was.fs ?? was.is, bs: other ?? was.bs };
    case "bs":
      return beginsAt(rows, pad.at)
        ? { ...none, bs: here ?? was.bs ?? was.is ?? was.fs }
        : { ...none, bs: here ?? was.bs, fs: other ?? was.fs };
  }
}

/** The reading that stands in the row as long as none is typed: what was booked of this sight. */
export const readBefore = (row: Row, cell: Cell): number | undefined =>
  row[cell] ?? (cell === "bs" ? (row.is ?? row.fs) : (row.is ?? row.fs ?? row.bs));

/** The row that was written in place of a struck one: the next that stands, when it is of the same point. */
export function replacing(rows: readonly Row[], struck: number): number | undefined {
  for (let at = struck + 1; at < rows.length; at++) {
    if (!rows[at]!.struck) return rows[at]!.point === rows[struck]!.point ? at : undefined;
  }
  return undefined;
}

function given<T extends object>(values: T): { [name in keyof T]?: Exclude<T[name], undefined> } {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as {
    [name in keyof T]?: Exclude<T[name], undefined>;
  };
}

function sameRow(a: Row, b: Row): boolean {
  const names = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof Row>;
  return [...names].every((name) => a[name] === b[name] || (name === "inverted" && !a.inverted && !b.inverted));
}
