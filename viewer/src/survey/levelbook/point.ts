// Names of points, given by the book so that nobody has to type with gloves on.

import type { Book, Pad } from "./book.ts";
import { offsetWords, type Row, type Stand, wantsChainage } from "./row.ts";
import { nextName } from "../../base/names.ts";
import { rounded } from "../../base/number.ts";
import { chainagesOf } from "./jump.ts";
import { keyedIn } from "./keyed.ts";

/** The name of the row on the pad: as typed, else as the book numbers it. */
export function pointOf(book: Book): string {
  const { pad, rows } = book;
  if (pad.point.trim() !== "") return pad.point.trim();
  const there = rows[pad.at];
  if (there)
    return pad.correction && pad.stand && stoodElsewhere(there, pad.stand, pad.texts) && namedByBook(there)
      ? standName(rows, pad.stand, pad.texts)
      : there.point;
  if (pad.stand) return standName(rows, pad.stand, pad.texts);
  if (pad.cell === "bs") return start(rows);
  return nextName(
    pad.cell === "fs" ? "CP" : "",
    rows.map((row) => row.point),
  ); // struck rows count too
}

const stoodElsewhere = (row: Row, stand: Stand, texts: Pad["texts"]): boolean =>
  row.feature !== stand.feature ||
  row.spot !== stand.spot ||
  (["bed", "section"].includes(stand.spot) && row.chainageM !== keyedIn(texts.chainage)) ||
  (stand.spot === "section" && row.offsetM !== keyedIn(texts.offset));

const sectionName = /^Section( at -?[\d.]+ m)?$|, ([\d.]+ m (left|right)|on the thalweg)$/;

/** Whether the name is one that the book gives, and not the officer's own. */
export function namedByBook({ point, feature, spot }: Row): boolean {
  if (feature === undefined) return /^(BM|CP)?\d+$|^Start( \d+)?$/.test(point); // BM1 as books of older programs began
  const pattern = {
    bed: /^Bed( -?[\d.]+| at -?[\d.]+ m)?$/,
    peg: /^Peg \d+$/,
    toe: / toe$/,
    crest: / crest$/,
    mark: /./,
    section: sectionName,
  };
  return spot !== undefined && pattern[spot].test(point);
}

function standName(rows: readonly Row[], stand: Stand, texts: Pad["texts"]): string {
  const chainage = keyedIn(texts.chainage),
    offset = keyedIn(texts.offset);
  const along = chainage === undefined ? "" : ` at ${chainage} m`;
  switch (stand.spot) {
    case "bed":
      return `Bed${along}`;
    case "section":
      return `${stand.marked ? stand.name : `Section${along}`}${offset === undefined ? "" : `, ${offsetWords(offset)}`}`;
    case "peg":
      return `Peg ${1 + rows.filter((r) => !r.struck && r.feature === stand.feature && r.spot === "peg").length}`;
    case "mark":
      return stand.name;
    default:
      return `${stand.name} ${stand.spot}`;
  }
}

/** Where a run begins, unless the officer says on what: no benchmark that nobody saw. */
function start(rows: readonly Row[]): string {
  const before = rows.filter((r) => /^Start( \d+)?$/.test(r.point)).length;
  return before === 0 ? "Start" : `Start ${before + 1}`;
}

/** How a label speaks of a point: a number alone is no name. */
export const pointWords = (point: string): string => (/^\d+$/.test(point) ? `point ${point}` : point);

/** Where the staff most likely goes next, and how far along. */
export function nextStand(rows: readonly Row[], stand: Stand | null): { stand: Stand | null; chainage: string } {
  if (!stand) return { stand, chainage: "" };
  if (stand.spot === "toe") return { stand: { ...stand, spot: "crest" }, chainage: "" };
  if (stand.spot === "section") return { stand, chainage: stand.marked ? "" : String(chainagesOf(rows, stand.feature).slice(-1)[0] ?? "") };
  if (!wantsChainage(stand)) return { stand: null, chainage: "" };
  const [before, last] = chainagesOf(rows, stand.feature, stand.spot).slice(-2);
  if (before === undefined || last === undefined) return { stand, chainage: "" };
  const next = rounded(2 * last - before, 3);
  return { stand, chainage: next < 0 || next > (stand.lengthM ?? Infinity) ? "" : String(next) }; // nobody tapes beyond its ends
}
