// The level of the row on the pad, at once however long the book is: a whole book of 200
// lines takes longer to reduce than a thumb should wait. Pure.

import type { Book } from "./book.ts";
import { levelOf, type Levels, type RunInput, type RunOutput } from "./levels.ts";
import { live, type Row } from "./row.ts";
import { padRow } from "./write.ts";

/**
 * What to ask for the new row on the pad alone: the set-up that stands now, begun on the
 * level that its backsight was given. Levels are exact to a tenth of a millimetre, so the
 * answer is what the whole book gives. before is the book's answer without the row; null
 * when only the whole book can tell.
 */
export function askForPad(book: Book, before: Levels): RunInput | null {
  const { pad, rows } = book;
  const row = padRow(book);
  if (!row || pad.correction || pad.at < rows.length || row.bs !== undefined) return null;
  const all = live(rows);
  const setUp = all.map((one) => one.row.bs !== undefined).lastIndexOf(true);
  const start = all[setUp];
  const levelM = start && levelOf(before.rows[start.at]);
  if (!start || levelM === undefined) return null;
  const sights = [...all.slice(setUp + 1).map((one) => one.row), row];
  const closing: Row[] = row.fs === undefined ? [{ ...row, point: "", fs: row.is! }] : []; // books end with a foresight
  return {
    rows: [
      { point: start.row.point, bs: start.row.bs!, knownLevelM: levelM, ...overhead(start.row) },
      ...sights.map((sight) => ({
        point: sight.point,
        ...(sight.fs === undefined ? { is: sight.is! } : { fs: sight.fs }),
        ...overhead(sight),
      })),
      ...closing.map((sight) => ({ point: "", fs: sight.fs!, ...overhead(sight) })),
    ],
    ...(book.staffLengthM === undefined ? {} : { staffLengthM: book.staffLengthM }),
  };
}

const overhead = (row: Row) => (row.inverted ? { inverted: true } : {});

/** The levels of the book and of the row on the pad, from the answer to askForPad. */
export function withPadLevel(book: Book, before: Levels, run: RunOutput): Levels {
  const at = run.rows.length - (padRow(book)?.fs === undefined ? 2 : 1);
  return { ...before, rows: [...before.rows.slice(0, book.rows.length), run.rows[at]] };
}
