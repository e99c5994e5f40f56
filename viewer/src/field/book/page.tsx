// The book as a page: every row, struck ones too, with its level, and the checks below.

import { Button, Row as Buttons } from "../kit/button.tsx";
import { Caution } from "../kit/part.tsx";
import { Choice } from "../kit/choice.tsx";
import { NumberInput, TextInput, numberIn } from "../kit/input.tsx";
import { useState } from "preact/hooks";
import type { Book } from "./book.ts";
import { instruments } from "./book.ts";
import type { Levels } from "./levels.ts";
import { millimetres, stepWords } from "./levels.ts";
import { metres } from "./reading.ts";
import type { Cell, Row } from "./row.ts";
import { cellWords } from "./row.ts";
import type { Act } from "./write.ts";

interface PageProps {
  readonly book: Book;
  readonly act: (act: Act) => void;
  readonly levels: Levels | null;
  readonly write: () => void; // back to the pad
}

export function Page({ book, act, levels, write }: PageProps) {
  const [open, setOpen] = useState<number | null>(null);
  return (
    <>
      <ol class="bookrows">
        {book.rows.map((row, i) => (
          <li key={i} class={row.struck ? "struck" : undefined}>
            <button type="button" class="bookrow" aria-expanded={open === i} onClick={() => setOpen(open === i ? null : i)}>
              <span class="nth soft">{i + 1}</span>
              <span class="point">{row.point || "no name"}{row.struck && <span class="soft">, struck out</span>}</span>
              <span class="cells">{cellsOf(row)}</span>
              <span class="reduced">{!row.struck && levels?.rows[i]?.levelM !== undefined && <b>{metres(levels.rows[i]!.levelM!)}</b>} <span class="soft">{row.struck ? "" : stepWords(levels?.rows[i])}</span></span>
            </button>
            {open === i && (
              <Buttons label={`Row ${i + 1}`}>
                <Button press={() => act({ do: "strike", at: i })}>{row.struck ? "Put back" : "Strike out"}</Button>
                {!row.struck && cells.filter((c) => row[c] !== undefined).map((cell) => (
                  <Button key={cell} press={() => { act({ do: "correct", at: i, cell }); write(); }}>Write {cellWords[cell].toLowerCase()} again</Button>
                ))}
                {row.knownLevelM !== undefined && i > 0 && <Button press={() => act({ do: "known", at: i, levelM: null })}>Level not known after all</Button>}
              </Buttons>
            )}
          </li>
        ))}
      </ol>
      {book.rows.length === 0 && <p>Nothing is booked yet.</p>}
      <Checks levels={levels} />
      <About book={book} act={act} />
    </>
  );
}

const cells: readonly Cell[] = ["fs", "is", "bs"];
const short: { readonly [cell in Cell]: string } = { bs: "BS", is: "IS", fs: "FS" };

function cellsOf(row: Row): string {
  const read = cells.flatMap((c) => (row[c] === undefined ? [] : [`${short[c]} ${metres(row[c]!)}`]));
  const known = row.knownLevelM === undefined ? [] : [`known ${metres(row.knownLevelM)}`];
  const where = [row.inverted ? "upside down" : "", row.chainageM === undefined ? "" : `at ${row.chainageM} m`].filter(Boolean);
  return [...read, ...known, ...where].join("  ");
}

/** The sums that the trade checks a page by; only a whole book has them. */
function Checks({ levels }: { levels: Levels | null }) {
  if (!levels) return null;
  const { run, open } = levels;
  const { sums } = run;
  return (
    <section aria-label="Checks">
      <h2>Checks</h2>
      {open ? (
        <p>The sums are drawn up once the book ends with a foresight.</p>
      ) : (
        <dl class="sums">
          <dt>Backsights less foresights</dt><dd>{metres(sums.bs)} − {metres(sums.fs)} = {metres(sums.bs - sums.fs)}</dd>
          <dt>Rises less falls</dt><dd>{metres(sums.rise)} − {metres(sums.fall)} = {metres(sums.rise - sums.fall)}</dd>
        </dl>
      )}
      <p><b>{run.arithmeticOK ? "The arithmetic agrees." : "The arithmetic does not agree."}</b> It cannot see a misread staff: only closing on a known level does.</p>
      {run.misclosureM !== undefined && (
        <p>Misclosure {millimetres(run.misclosureM)}{run.misclosureM < 0 ? " low" : run.misclosureM > 0 ? " high" : ""}{run.allowableM !== undefined && `; ${millimetres(run.allowableM)} allowed`}.</p>
      )}
      {!open && run.reasons.map((text) => <p key={text}>{text}</p>)}
      {run.cautions.map((c) => <Caution key={c.text}>{c.text}</Caution>)}
    </section>
  );
}

function About({ book, act }: { book: Book; act: (act: Act) => void }) {
  const [k, setK] = useState(String(book.rule.mm));
  const mm = numberIn(k);
  const right = mm !== undefined && mm > 0 && mm <= 1000;
  return (
    <section aria-label="About the run">
      <h2>About the run</h2>
      <TextInput label="Name" value={book.name} change={(name) => act({ do: "about", name })} />
      <Choice label="Instrument" required of={instruments.map((i) => ({ value: i, label: i }))} value={book.instrument} pick={(i) => i && act({ do: "about", instrument: i })}
        hint={book.rows.length > 0 ? "ordinary or direct-reading is settled by the first row" : undefined} />
      <Choice label="May be out by" required of={[{ value: "set-up", label: "for each root set-up" }, { value: "km", label: "for each root kilometre" }]} value={book.rule.per}
        pick={(per) => act({ do: "about", rule: { per: per === "km" ? "km" : "set-up", mm: right ? mm : book.rule.mm } })} hint={book.rule.per === "km" ? "needs distances along the route" : undefined} />
      <NumberInput label="Millimetres" unit="mm" required value={k} wrong={right ? undefined : "Give millimetres above 0, at most 1000."} change={(text) => {
        setK(text);
        const typed = numberIn(text);
        if (typed !== undefined && typed > 0 && typed <= 1000) act({ do: "about", rule: { ...book.rule, mm: typed } });
      }} />
    </section>
  );
}
