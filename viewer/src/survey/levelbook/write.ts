// What can be done to a level book. A mistake is struck through and stands beside what
// replaces it; only the last steps can be taken back, and what the register had of them it
// keeps.

import type { Fields } from "../../base/entry.ts";
import { type Book, type Box, boxes, dueCells, freshTexts, type Pad, padFor, readsDirect, offsetOn, type Rule, staffIn } from "./book.ts";
import { beginsAt, type Cell, mostOffsetM, type Row, type Stand, wantsChainage } from "./row.ts";
import { type Key, keyedIn, pressOn, tidy } from "./keyed.ts";
import { beyondQuestion, chainagesOf, jumpQuestion } from "./jump.ts";
import { namedByBook, nextStand, pointOf } from "./point.ts";
import type { KnownPoint } from "./known.ts";
import { correctionCells, correctedRow, correctSight, correctStand, padToCorrect, replacing } from "./correct.ts";

export type Act =
  | { readonly do: "key"; readonly key: Key }
  | { readonly do: "text"; readonly box: Box; readonly text: string } // typed on a keyboard
  | { readonly do: "suggest"; readonly box: Box; readonly text: string } // the next key replaces it
  | { readonly do: "box"; readonly box: Box }
  | { readonly do: "sight"; readonly cell: Cell }
  | { readonly do: "point"; readonly point: string }
  | { readonly do: "stand"; readonly stand: Stand | null }
  | { readonly do: "invert" }
  | { readonly do: "note"; readonly note: string }
  | { readonly do: "book"; readonly sure?: boolean } // sure: of a chainage that the page asked about
  | { readonly do: "add"; readonly row: Row } // a reading that another screen took
  | { readonly do: "strike"; readonly at: number } // or no longer
  | { readonly do: "correct"; readonly at: number; readonly stand: Stand | null } // takes a booked row up, to write it again
  | { readonly do: "leave" } // leaves a row that was taken up as it was
  | { readonly do: "known"; readonly at: number; readonly levelM: number | null; readonly on?: KnownPoint } // on: which point of known level it is
  | { readonly do: "unmoved" } // the level stands where the last foresight was read: one reading is both
  | { readonly do: "take back" }
  | {
      readonly do: "about";
      readonly name?: string;
      readonly instrument?: string;
      readonly rule?: Rule;
      readonly staffLengthM?: number | undefined;
    }
  | { readonly do: "recorded"; readonly fields: Fields }
  | { readonly do: "open"; readonly book: Book };

export function write(book: Book, act: Act): Book {
  const { pad, rows } = book;
  const onPad = (change: Partial<Pad>): Book => ({ ...book, pad: { ...pad, ...change } });
  switch (act.do) {
    case "key":
      return onPad(keyed(pad, pad.box, pressOn(pad.texts[pad.box], act.key, sortOf(pad.box), pad.suggested.includes(pad.box))));
    case "text":
      return onPad({ box: act.box, ...keyed(pad, act.box, tidy(act.text, sortOf(act.box))) });
    case "suggest":
      return onPad(suggestedOn(pad, act.box, act.text));
    case "box":
      return onPad({ box: act.box });
    case "sight":
      if (pad.correction)
        return correctionCells(rows, pad.at).includes(act.cell) ? onPad(correctSight(pad, rows[pad.at]!, act.cell)) : book;
      return dueCells(rows).includes(act.cell) ? onPad(sighted(pad, act.cell)) : book;
    case "point":
      return onPad({ point: act.point });
    case "stand": {
      if (pad.correction) return onPad(correctStand(pad, act.stand));
      const chainage = act.stand && wantsChainage(act.stand) ? nextStand(rows, act.stand).chainage : "";
      const there = suggestedOn(unproposed(pad), "chainage", chainage);
      return onPad({ stand: act.stand, point: "", ...there, texts: { ...there.texts!, offset: "" } });
    }
    case "invert":
      return onPad({ inverted: !pad.inverted });
    case "note":
      return onPad({ note: act.note });
    case "book":
      return pad.correction ? bookCorrected(book, pad.correction.back, act.sure) : bookRow(book, act.sure);
    case "add":
      return booked(book, [...rows, act.row], act.row.fs !== undefined, moved(pad, rows.length));
    case "strike": {
      // A line put back stands instead of what was written in its place.
      const instead = rows[act.at]?.struck ? replacing(rows, act.at) : undefined;
      const now = rows.map((row, i) => (i === act.at || i === instead ? withStruck(row, !row.struck) : row));
      return booked(book, now, true, refit(pad.correction && now[pad.at]?.struck ? pad.correction.back : pad, now));
    }
    case "correct": {
      const taken = padToCorrect(book, act.at, act.stand);
      return taken ? { ...book, pad: taken } : book;
    }
    case "leave":
      return pad.correction ? { ...book, pad: pad.correction.back } : book;
    case "known": {
      const now = rows.map((row, i) => (i === act.at ? withKnown(row, act.levelM, act.on) : row));
      return booked(book, now, true, pad);
    }
    case "unmoved": {
      if (pad.correction || pad.at !== rows.length - 1) return book; // no foresight waits at the book's end
      const now = rows.map((row, i) =>
        i === pad.at ? { ...row, bs: row.fs!, remark: [row.remark, "level not moved"].filter(Boolean).join("; ") } : row,
      );
      return booked(book, now, true, padFor(now, pad.aside));
    }
    case "take back": {
      const before = book.past[book.past.length - 1];
      return before ? { ...book, ...before, past: book.past.slice(0, -1), due: Object.keys(book.recorded).length > 0 } : book;
    }
    case "about":
      return {
        ...book,
        ...(act.name === undefined ? {} : { name: act.name }),
        ...("staffLengthM" in act ? { staffLengthM: act.staffLengthM } : {}),
        ...(act.rule === undefined ? {} : { rule: act.rule, ruleChosen: true }),
        // Readings of a direct-reading staff are turned over as they are booked, so it can only be chosen first.
        ...(act.instrument === undefined || (rows.length > 0 && readsDirect(act.instrument) !== readsDirect(book.instrument))
          ? {}
          : { instrument: act.instrument }),
      };
    case "recorded":
      return {
        ...book,
        recorded: { ...book.recorded, ...act.fields },
        due: book.due && act.fields["rows"] !== rows && act.fields["rows"] !== undefined,
      };
    case "open":
      return act.book;
  }
}

/** The pad with a text that was keyed. */
const keyed = (pad: Pad, box: Box, text: string): Partial<Pad> => ({
  texts: { ...pad.texts, [box]: text },
  suggested: pad.suggested.filter((b) => b !== box),
});

/** The pad with a text that the book proposes. */
const suggestedOn = (pad: Pad, box: Box, text: string): Partial<Pad> => ({
  texts: { ...pad.texts, [box]: text },
  suggested: [...pad.suggested.filter((b) => b !== box), ...(text === "" ? [] : [box])],
});

/** The pad without a level that the book proposed: it was of what the staff stood on before. */
const unproposed = (pad: Pad): Pad => (pad.suggested.includes("known") ? { ...pad, ...suggestedOn(pad, "known", "") } : pad);

const sortOf = (box: Box) => (box === "reading" ? "staff" : "plain");

/** A foresight stands on a change point unless the officer says otherwise. */
function sighted(pad: Pad, cell: Cell): Partial<Pad> {
  if (cell === pad.cell) return {};
  const on = cell === "fs" ? { aside: pad.stand, stand: null } : { stand: pad.aside ?? pad.stand, aside: null };
  return { ...unproposed(pad), cell, ...on };
}

/** The row as it would be booked now; undefined while the pad says nothing. */
export function padRow(book: Book): Row | undefined {
  const { pad, rows } = book;
  if (pad.correction) {
    const row = correctedRow(book);
    return row === rows[pad.at] ? undefined : row;
  }
  const typed = staffIn(pad.texts.reading, book.instrument);
  const known = keyedIn(pad.texts.known);
  const distance = keyedIn(pad.texts.distance);
  const chainage = keyedIn(pad.texts.chainage);
  const offset = offsetOn(pad);
  const there = rows[pad.at];
  if (typed === undefined && (known === undefined || !there)) return undefined;
  return {
    ...(there ?? { point: pointOf(book) }),
    ...(there && pad.point.trim() !== "" ? { point: pad.point.trim() } : {}),
    ...(typed === undefined ? {} : { [pad.cell]: typed }),
    ...(known === undefined ? {} : { knownLevelM: known }),
    ...(distance === undefined ? {} : { distanceM: distance }),
    ...(pad.inverted ? { inverted: true } : {}),
    ...(pad.note.trim() === "" ? {} : { remark: pad.note.trim() }),
    ...(pad.stand ? { feature: pad.stand.feature, spot: pad.stand.spot } : {}),
    ...(chainage === undefined || !pad.stand ? {} : { chainageM: chainage }),
    ...(offset === undefined ? {} : { offsetM: offset }),
  };
}

/** The rows with what stands on the pad in its place. */
export function withPad(book: Book): readonly Row[] {
  const row = padRow(book);
  if (!row) return book.rows;
  return book.pad.at < book.rows.length ? book.rows.map((r, i) => (i === book.pad.at ? row : r)) : [...book.rows, row];
}

/** The box that has to be filled in before the row can be booked. */
function lacking(book: Book): Box | null {
  const { pad, rows } = book;
  const half = boxes.find((box) => pad.texts[box] !== "" && keyedIn(pad.texts[box]) === undefined);
  if (half) return half;
  if (beginsAt(rows, pad.at) && keyedIn(pad.texts.known) === undefined && (pad.correction || rows[pad.at]?.knownLevelM === undefined))
    return "known";
  // Nobody taped a chainage that is proposed: it counts once it was looked at, with another press.
  if (
    pad.stand &&
    wantsChainage(pad.stand) &&
    pad.box !== "chainage" &&
    (pad.texts.chainage === "" || (!pad.correction && pad.suggested.includes("chainage") && !sameSection(book)))
  )
    return "chainage";
  const offset = offsetOn(pad);
  if (pad.stand?.spot === "section" && (offset === undefined || Math.abs(offset) > mostOffsetM)) return "offset";
  return null;
}

/** Whether the pad goes on with a cross-section of which a point is booked: where that lies is known. */
const sameSection = ({ pad, rows }: Book): boolean =>
  pad.stand?.spot === "section" && chainagesOf(rows, pad.stand.feature, "section").includes(keyedIn(pad.texts.chainage) ?? NaN);

/** Whether the next press books a chainage as it is proposed. */
export const isProposed = (book: Book): boolean => isProposedOn(book.pad) && !sameSection(book);

const isProposedOn = (pad: Pad): boolean =>
  !pad.correction &&
  pad.box === "chainage" &&
  pad.doubted !== pad.texts.chainage &&
  pad.stand !== null &&
  wantsChainage(pad.stand) &&
  pad.suggested.includes("chainage");

/** The question about the chainage on the pad; undefined when there is none. */
export function chainageQuestion({ pad, rows }: Book): string | undefined {
  const to = keyedIn(pad.texts.chainage);
  if (!pad.stand || to === undefined || !wantsChainage(pad.stand)) return undefined;
  if (rows[pad.at]?.chainageM === to) return undefined; // booked so before
  return (
    jumpQuestion(chainagesOf(rows.slice(0, pad.at), pad.stand.feature, pad.stand.spot), to) ??
    beyondQuestion(to, pad.stand.lengthM, pad.stand.name)
  );
}

/** The pad as it waits for an answer about its chainage; null when it may be booked. */
function asking(book: Book, sure: boolean | undefined): Book | null {
  if (sure || chainageQuestion(book) === undefined) return null;
  const { pad } = book;
  const { chainage } = pad.texts;
  return { ...book, pad: { ...pad, ...suggestedOn(pad, "chainage", chainage), box: "chainage", doubted: chainage } };
}

function bookRow(book: Book, sure?: boolean): Book {
  const row = padRow(book);
  if (!row) return { ...book, pad: { ...book.pad, box: "reading" } };
  const box = row[book.pad.cell] === undefined ? null : lacking(book);
  // A chainage that was proposed has been looked at once the offset is asked for.
  const looked = box === "offset" ? book.pad.suggested.filter((b) => b !== "chainage") : book.pad.suggested;
  if (box) return { ...book, pad: { ...book.pad, box, suggested: looked } };
  const asks = asking(book, sure);
  if (asks) return asks;
  const rows = withPad(book);
  const { stand, aside } = book.pad;
  const on = book.pad.cell === "is" ? nextStand(rows, stand) : nextStand(rows, aside);
  const pad = padFor(rows, on.stand);
  const chainage = pad.stand ? on.chainage : "";
  // A corrected row is whole again, and so is all that hangs from it.
  const done = book.pad.cell === "fs" || book.pad.at < book.rows.length - 1 || row[book.pad.cell] === undefined;
  return booked(book, rows, done, { ...pad, ...suggestedOn({ ...pad, texts: freshTexts }, "chainage", chainage) });
}

/** Rules the wrong line through and puts what was written again below it; the pad goes on where it was. */
function bookCorrected(book: Book, back: Pad, sure?: boolean): Book {
  const { pad, rows } = book;
  const box = lacking(book);
  if (box) return { ...book, pad: { ...pad, box } };
  const row = padRow(book);
  if (!row) return { ...book, pad: back };
  const asks = asking(book, sure);
  if (asks) return asks;
  const now = [...rows.slice(0, pad.at), withStruck(rows[pad.at]!, true), row, ...rows.slice(pad.at + 1)];
  const on = refit(back.at < pad.at ? back : { ...back, at: back.at + 1 }, now);
  return booked({ ...book, pad: back }, now, true, on);
}

const kept = 20; // steps that can be taken back

function booked(book: Book, rows: readonly Row[], due: boolean, pad: Pad): Book {
  return { ...book, rows, pad, due: book.due || due, past: [...book.past, { rows: book.rows, pad: book.pad }].slice(-kept) };
}

/** The pad after a row was added at a place before or at its own. */
function moved(pad: Pad, at: number): Pad {
  if (pad.correction) return { ...pad, correction: { ...pad.correction, back: moved(pad.correction.back, at) } };
  return pad.at === at ? { ...pad, at: at + 1 } : pad;
}

function refit(pad: Pad, rows: readonly Row[]): Pad {
  if (pad.correction) return { ...pad, correction: { ...pad.correction, back: refit(pad.correction.back, rows) } };
  const fresh = padFor(rows, pad.stand ?? pad.aside);
  return fresh.at === pad.at && dueCells(rows).includes(pad.cell) ? pad : { ...fresh, texts: pad.texts };
}

function withStruck({ struck: _was, ...row }: Row, struck: boolean): Row {
  return struck ? { ...row, struck } : row;
}

/** A row on a point of known level takes its name, where the book gave one. */
function withKnown({ knownLevelM: _was, ...row }: Row, levelM: number | null, on?: KnownPoint): Row {
  if (levelM === null) return row;
  const renamed =
    on && row.feature === undefined && namedByBook(row)
      ? { point: on.point, ...(on.feature === undefined ? {} : { feature: on.feature, spot: "mark" as const }) }
      : {};
  return { ...row, ...renamed, knownLevelM: levelM };
}
