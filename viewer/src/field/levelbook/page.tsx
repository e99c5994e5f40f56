// The book as a page: every row, struck ones too, with its level, and the checks below.

import { Button, Row as Buttons } from "../../ui/button.tsx";
import { Choice } from "../../ui/choice.tsx";
import { NumberInput, TextInput } from "../../ui/input.tsx";
import { numberIn } from "../../base/number.ts";
import { useEffect, useRef, useState } from "preact/hooks";
import { type Book, instruments, isAllowable, isStaff, usualStaffM } from "../../survey/levelbook/book.ts";
import type { Levels } from "../../survey/levelbook/levels.ts";
import { Checks } from "../../item/levelbook.tsx";
import { Line } from "./line.tsx";
import type { Stand } from "../../survey/levelbook/row.ts";
import type { Act } from "../../survey/levelbook/write.ts";

interface PageProps {
  readonly book: Book;
  readonly act: (act: Act) => void;
  readonly levels: Levels | null;
  readonly correct: (at: number, stand: Stand | null) => void; // on the pad
  readonly see: number | null; // the row that was written just now
}

export function Page({ book, act, levels, correct, see }: PageProps) {
  const [open, setOpen] = useState<number | null>(null);
  const list = useRef<HTMLOListElement>(null);
  useEffect(() => {
    if (see !== null) list.current?.querySelectorAll<HTMLElement>(".bookrow")[see]?.focus();
  }, [see]);
  return (
    <>
      {book.rows.length === 0 ? (
        <p>Nothing is booked yet.</p>
      ) : (
        <ol class="bookrows" ref={list}>
          {book.rows.map((_, i) => (
            <Line
              key={i}
              book={book}
              at={i}
              reduced={levels?.rows[i]}
              open={open === i}
              toggle={() => setOpen(open === i ? null : i)}
              act={act}
              correct={correct}
            />
          ))}
        </ol>
      )}
      {book.past.length > 0 && (
        <Buttons>
          <Button press={() => act({ do: "take back" })}>Undo</Button>
        </Buttons>
      )}
      <Checks levels={levels} />
      <About book={book} act={act} />
    </>
  );
}

function About({ book, act }: { book: Book; act: (act: Act) => void }) {
  const [k, setK] = useState(String(book.rule.mm));
  const mm = numberIn(k);
  const [staff, setStaff] = useState(book.staffLengthM === undefined ? "" : String(book.staffLengthM));
  return (
    <section aria-label="About the run">
      <h2>About the run</h2>
      <TextInput label="Name" value={book.name} change={(name) => act({ do: "about", name })} />
      <Choice
        label="Instrument"
        required
        of={instruments.map((i) => ({ value: i, label: i }))}
        value={book.instrument}
        pick={(i) => i && act({ do: "about", instrument: i })}
        hint={book.rows.length > 0 ? "ordinary or direct-reading cannot change after the first row" : undefined}
      />
      <NumberInput
        label="Length of the staff"
        unit="m"
        value={staff}
        hint={`its longest reading; ${usualStaffM} m if left empty`}
        wrong={isStaffOrNone(numberIn(staff)) ? undefined : "Give 1 to 20 m, or leave it empty."}
        change={(text) => {
          setStaff(text);
          const typed = numberIn(text);
          if (isStaffOrNone(typed)) act({ do: "about", staffLengthM: typed });
        }}
      />
      <Choice
        label="Allowable misclosure"
        required
        of={[
          { value: "set-up", label: "mm per √set-up" },
          { value: "km", label: "mm per √km" },
        ]}
        value={book.ruleChosen === false ? undefined : book.rule.per}
        pick={(per) => act({ do: "about", rule: { per: per === "km" ? "km" : "set-up", mm: isAllowable(mm) ? mm : book.rule.mm } })}
        hint={
          book.ruleChosen === false
            ? `${book.rule.mm} mm per √set-up judges until you choose; it is not recorded`
            : book.rule.per === "km"
              ? "needs distances along the route"
              : undefined
        }
      />
      <NumberInput
        label={`Allowable misclosure, mm per √${book.rule.per}`}
        unit="mm"
        required
        value={k}
        wrong={isAllowable(mm) ? undefined : "Give more than 0 and at most 1,000 mm."}
        change={(text) => {
          setK(text);
          const typed = numberIn(text);
          if (isAllowable(typed)) act({ do: "about", rule: { ...book.rule, mm: typed } });
        }}
      />
    </section>
  );
}

/** Left empty it is the usual one. */
const isStaffOrNone = (lengthM: number | undefined): boolean => lengthM === undefined || isStaff(lengthM);
