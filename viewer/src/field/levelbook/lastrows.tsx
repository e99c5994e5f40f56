// The rows booked last, in sight while the next is keyed: a slip is seen while the staff
// still stands there.

import type { Book } from "../../survey/levelbook/book.ts";
import { levelOf, type Levels } from "../../survey/levelbook/levels.ts";
import { cellsOf } from "./line.tsx";
import { toMillimetre } from "../../base/number.ts";
import { live, type Row } from "../../survey/levelbook/row.ts";

const shown = 2;

/** Its level stands at the end of the line. */
const withoutKnown = ({ knownLevelM: _, ...row }: Row): Row => row;

export function LastRows({ book, levels }: { book: Book; levels: Levels | null }) {
  const before = live(book.rows).filter(({ at }) => !book.pad.correction || at !== book.pad.at);
  const last = before.slice(-shown);
  return (
    <ol class="lastrows" aria-label="Rows booked last">
      {Array.from({ length: shown }, (_, i) => {
        const one = last[i - (shown - last.length)];
        if (!one)
          return (
            <li key={`none ${i}`} aria-hidden="true">
              {" "}
            </li>
          ); // its room is there before it: no key moves
        const levelM = levelOf(levels?.rows[one.at]);
        return (
          <li key={one.at}>
            <span class="point">{one.row.point || `row ${one.at + 1}`}</span>{" "}
            <span class="cells">{cellsOf(withoutKnown(one.row), book, one.row.point)}</span>
            {levelM !== undefined && <b>{toMillimetre(levelM)}</b>}
          </li>
        );
      })}
    </ol>
  );
}
