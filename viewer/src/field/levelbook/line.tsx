// One line of the book's page: what was booked, its level, and what can be done to it. A
// line that is being written again shows both, the old one crossed out.

import { Button, Row as Buttons } from "../../ui/button.tsx";
import { useField } from "../context/field.ts";
import { kindOf } from "../../base/entry.ts";
import { asRead, type Book } from "../../survey/levelbook/book.ts";
import { levelOf, type Reduced, stepWords } from "../../survey/levelbook/levels.ts";
import { replacing } from "../../survey/levelbook/correct.ts";
import { ownNameOf } from "../../base/names.ts";
import { toMillimetre } from "../../base/number.ts";
import { metres } from "../../survey/levelbook/keyed.ts";
import { type Cell, offsetWords, type Row, type Stand } from "../../survey/levelbook/row.ts";
import { type Act, padRow } from "../../survey/levelbook/write.ts";

interface LineProps {
  readonly book: Book;
  readonly at: number;
  readonly reduced: Reduced | undefined;
  readonly open: boolean;
  readonly toggle: () => void;
  readonly act: (act: Act) => void;
  readonly correct: (at: number, stand: Stand | null) => void;
}

export function Line({ book, at, reduced, open, toggle, act, correct }: LineProps) {
  const field = useField();
  const row = book.rows[at]!;
  const again = book.pad.correction && book.pad.at === at ? padRow(book) : undefined;
  const instead = row.struck ? replacing(book.rows, at) : undefined;
  const above = book.rows[at - 1];
  const rewritten = !row.struck && above?.struck && above.point === row.point;
  return (
    <li class={row.struck ? "struck" : undefined}>
      <button type="button" class="bookrow" aria-expanded={open} onClick={toggle}>
        <span class="nth soft">{at + 1}</span>
        <span class="point">
          {row.point || "unnamed"}
          {row.struck && <span class="soft">, struck out</span>}
        </span>
        <span class="below">
          <span class="cells">
            {again ? (
              <>
                <s>{cellsOf(row, book)}</s> {cellsOf(again, book)}
              </>
            ) : (
              cellsOf(row, book)
            )}
          </span>
          <span class="step soft">
            {row.struck ? "" : stepWords(reduced)}
            {!row.struck && reduced?.adjustedLevelM !== undefined && reduced.adjustedLevelM !== reduced.levelM && (
              <span class="asread">, {toMillimetre(reduced.levelM!)} as read</span>
            )}
          </span>
        </span>
        {(row.remark || rewritten) && (
          <span class="about soft">{[rewritten ? "written again" : "", row.remark].filter(Boolean).join("; ")}</span>
        )}
        <span class="reduced">{!row.struck && levelOf(reduced) !== undefined && <b>{toMillimetre(levelOf(reduced)!)}</b>}</span>
      </button>
      {open && (
        <Buttons label={`Row ${at + 1}`}>
          {!row.struck && (
            <Button
              rank="main"
              press={() =>
                correct(
                  at,
                  standOf(row, (id) => field.features.find((f) => f.id === id)),
                )
              }
            >
              Strike out and write again
            </Button>
          )}
          <Button press={() => act({ do: "strike", at })}>
            {!row.struck ? "Strike out" : instead === undefined ? "Restore" : `Restore instead of row ${instead + 1}`}
          </Button>
          {!row.struck && row.knownLevelM !== undefined && at > 0 && (
            <Button press={() => act({ do: "known", at, levelM: null })}>Clear known level</Button>
          )}
        </Buttons>
      )}
    </li>
  );
}

/** What the staff stood on, by the name it has here. */
function standOf(row: Row, find: (id: string) => Parameters<typeof ownNameOf>[0] | undefined): Stand | null {
  if (row.feature === undefined || row.spot === undefined) return null;
  const thing = find(row.feature);
  const marked = thing ? kindOf(thing) === "cross-section" : row.spot === "section" && row.chainageM === undefined;
  return {
    feature: row.feature,
    spot: row.spot,
    name: thing ? ownNameOf(thing) : "An item not on this phone",
    ...(marked ? { marked } : {}),
  };
}

const cells: readonly Cell[] = ["fs", "is", "bs"];
const short: { readonly [cell in Cell]: string } = { bs: "BS", is: "IS", fs: "FS" };

/** "FS 0.975  BS 2.460", and what else the line says. */
export function cellsOf(row: Row, book: Book, said = ""): string {
  const read = cells.flatMap((c) => (row[c] === undefined ? [] : [`${short[c]} ${asRead(row[c]!, book.instrument)}`]));
  const known = row.knownLevelM === undefined ? [] : [`known ${metres(row.knownLevelM)}`];
  const where = [
    row.inverted ? "upside down" : "",
    row.chainageM === undefined || said.includes(`at ${row.chainageM} m`) ? "" : `at ${row.chainageM} m`,
    row.offsetM === undefined || said.endsWith(offsetWords(row.offsetM)) ? "" : offsetWords(row.offsetM),
  ].filter(Boolean);
  return [...read, ...known, ...where].join("  ");
}
