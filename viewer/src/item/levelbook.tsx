// A level book as it is read: every row as booked, reduced, struck ones too, and the checks below.

import { millimetres, toMillimetre } from "../base/number.ts";
import type { Feature } from "../base/entry.ts";
import type { Model } from "../compute/model.ts";
import { useAsked } from "../compute/useasked.ts";
import { asRead, openBook } from "../survey/levelbook/book.ts";
import { metres } from "../survey/levelbook/keyed.ts";
import { askFor, levelOf, type Levels, levelsOf, type Reduced, worstOf, wrongWords } from "../survey/levelbook/levels.ts";
import { type Cell, cellWords, offsetWords, type Row } from "../survey/levelbook/row.ts";
import { Caution } from "../ui/panel.tsx";

const cells: readonly Cell[] = ["bs", "is", "fs"];

/** The rows of a level run in the columns in which the trade books them. */
export function LevelBook({ run, model }: { run: Feature; model: Model }) {
  const book = openBook(run);
  const ask = askFor(book);
  const { output, refused } = useAsked(model, "level-run", ask?.input);
  if (book.rows.length === 0) return null;
  const levels = ask && output ? levelsOf(output, book.rows.length, ask.open) : null;
  return (
    <section aria-label="Level book">
      <h2>Level book</h2>
      {refused && <Caution>{wrongWords(refused, book.rows)}</Caution>}
      <div class="booked" role="group" aria-label="Rows" tabIndex={0}>
        <table>
          <thead>
            <tr>
              <th scope="col">Row</th>
              <th scope="col">Point</th>
              {cells.map((c) => (
                <th key={c} scope="col" class="number">
                  <abbr title={cellWords[c]}>{c.toUpperCase()}</abbr>
                </th>
              ))}
              {["Rise", "Fall", "Level"].map((label) => (
                <th key={label} scope="col" class="number">
                  {label}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {book.rows.map((row, i) => (
              <Line key={i} nth={i + 1} row={row} instrument={book.instrument} reduced={levels?.rows[i]} />
            ))}
          </tbody>
        </table>
      </div>
      <Checks levels={levels} />
    </section>
  );
}

interface LineProps {
  readonly nth: number;
  readonly row: Row;
  readonly instrument: string;
  readonly reduced: Reduced | undefined;
}

function Line({ nth, row, instrument, reduced }: LineProps) {
  const besides = [
    row.struck ? "struck out" : "",
    row.knownLevelM === undefined ? "" : `known level ${metres(row.knownLevelM)}`,
    row.bookedLevelM === undefined ? "" : `level booked ${metres(row.bookedLevelM)}`,
    row.chainageM === undefined ? "" : `chainage ${row.chainageM} m`,
    row.offsetM === undefined ? "" : offsetWords(row.offsetM),
    row.distanceM === undefined ? "" : `${row.distanceM} m along the route`,
    row.inverted ? "staff upside down" : "",
    row.remark ?? "",
  ].filter(Boolean);
  const said = (m: number | undefined, words: (m: number) => string) => (m === undefined || row.struck ? "" : words(m));
  const counts = said(levelOf(reduced), toMillimetre),
    asRun = said(reduced?.levelM, toMillimetre);
  return (
    <tr class={row.struck ? "struck" : undefined}>
      <td class="soft">{nth}</td>
      <th scope="row">
        <span class="point">{row.point || "unnamed"}</span>
        {besides.length > 0 && <span class="soft">{besides.join(", ")}</span>}
      </th>
      {cells.map((c) => (
        <td key={c} class="number read">
          {row[c] !== undefined && asRead(row[c], instrument)}
        </td>
      ))}
      <td class="number">{said(reduced?.riseM, metres)}</td>
      <td class="number">{said(reduced?.fallM, metres)}</td>
      <td class="number">
        {counts && <b>{counts}</b>}
        {asRun !== counts && <span class="soft">{asRun} as read</span>}
      </td>
    </tr>
  );
}

/** The sums that the trade checks a page by; only a whole book has them. */
export function Checks({ levels }: { levels: Levels | null }) {
  if (!levels) return null;
  const { run, open } = levels;
  const { sums } = run;
  const worst = worstOf(run);
  return (
    <section aria-label="Checks">
      <h2>Checks</h2>
      {open ? (
        <p>The sums are shown once the book ends with a foresight.</p>
      ) : (
        <dl class="sums">
          <dt>Backsights less foresights</dt>
          <dd>
            {metres(sums.bs)} − {metres(sums.fs)} = {metres(sums.bs - sums.fs)}
          </dd>
          <dt>Rises less falls</dt>
          <dd>
            {metres(sums.rise)} − {metres(sums.fall)} = {metres(sums.rise - sums.fall)}
          </dd>
        </dl>
      )}
      <p>
        <b>{run.arithmeticOK ? "The arithmetic agrees:" : "The arithmetic does not agree:"}</b>{" "}
        {run.arithmeticOK
          ? "rise and fall, height of instrument and the sums give the same levels."
          : "rise and fall, height of instrument, the sums and the levels booked do not all say the same."}{" "}
        It cannot see a misread staff: only closing on a known level does.
      </p>
      {worst && (
        <p>
          {run.closures.length > 1 ? "Worst misclosure" : "Misclosure"} {millimetres(Math.abs(worst.misclosureM))}
          {worst.misclosureM < 0 ? " low" : worst.misclosureM > 0 ? " high" : ""}
          {worst.to !== undefined && `, as far as ${worst.to}`}
          {worst.allowableM !== undefined && `; ${millimetres(worst.allowableM)} allowed`}.
        </p>
      )}
      {!open && run.reasons.map((text) => <p key={text}>{text}</p>)}
      {run.cautions.map((c) => (
        <Caution key={c.text}>{c.text}</Caution>
      ))}
    </section>
  );
}
