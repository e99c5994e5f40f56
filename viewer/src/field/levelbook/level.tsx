// One level book: the pad, the page, and the long section that its bed levels make.

import { useEffect, useRef, useState } from "preact/hooks";
import { day } from "../../base/words.ts";
import { type Params, useField } from "../context/field.ts";
import { Button, Row as Buttons } from "../../ui/button.tsx";
import { Frame, Opening } from "../../ui/frame.tsx";
import { Trouble } from "../../ui/panel.tsx";
import { LaterRelatedLinks } from "../part/relatedlinks.tsx";
import { standing } from "../../survey/levelbook/levels.ts";
import { pegsAlong, pegsWords, toPegging } from "../../survey/setout/pegway.ts";
import { LongSection } from "./longsection.tsx";
import { Page } from "./page.tsx";
import { toMillimetre } from "../../base/number.ts";
import { Sight, SightMore, SightPad } from "./sight.tsx";
import { useBook } from "../part/usebook.ts";

type View = "write" | "page" | "section";

export function Level({ params }: { params: Params }) {
  const field = useField();
  const id = params["book"]!;
  const { book, act, levels, wrong, kept, trouble, record } = useBook(id);
  const [view, setView] = useState<View>("write");
  const [see, setSee] = useState<number | null>(null);
  const corrected = useRef<{ at: number; rows: number } | null>(null);
  useEffect(() => {
    if (!book) return;
    const was = corrected.current;
    corrected.current = book.pad.correction ? { at: book.pad.at, rows: book.rows.length } : null;
    if (!was && corrected.current) for (const scrolled of document.querySelectorAll(".sheet, .screen")) scrolled.scrollTop = 0; // the page of the book was long
    if (!was || corrected.current) return;
    setSee(was.at + (book.rows.length > was.rows ? 1 : 0)); // what was written stands below what it replaces
    setView("page");
  }, [book]);
  if (!book) return <Opening title="Level book" words="Opening the book…" trouble={trouble} />;
  const stands = standing(levels);
  const recorded = field.features.find((f) => f.id === id);
  const along = pegsAlong(params["along"], field.features);
  const isSetUp = levels?.sightM !== undefined;
  const struck = field.features.some((f) => f.id === id && f.struck);
  const tab = (name: View, word: string) => (
    <Button pressed={view === name} press={() => setView(name)}>
      {word}
    </Button>
  );
  const views = (
    <Buttons label="The book">
      {tab("write", "Write")}
      {tab("page", `Page (${book.rows.length})`)}
      {tab("section", "Section")}
    </Buttons>
  );
  return (
    <Frame
      title={book.name || "Level book"}
      onward={
        along &&
        isSetUp && (
          <a class="button main" href={toPegging(id, along)} aria-label={`Peg ${pegsWords(along)}`}>
            Peg
          </a>
        )
      }
      under={
        <>
          <p class="setup">
            {levels?.sightM !== undefined
              ? `Set-up ${levels.run.setups}, sight ${toMillimetre(levels.sightM)}`
              : along
                ? `Set the level up to peg ${pegsWords(along)}`
                : "No set-up yet"}
          </p>
          <p class={`standing ${stands.state}`} data-standing={stands.state} data-kept={kept}>
            {wrong ? "Cannot be reduced yet" : stands.short}
          </p>
        </>
      }
    >
      {view !== "write" && views}
      {trouble && <Trouble {...trouble} />}
      {struck && (
        <Trouble what="This level run is struck out." todo="What you book in it counts for nothing until it is restored.">
          <Button press={() => void field.capture([{ feature: id, strike: false }], `${book.name} restored`, false)}>Restore</Button>
        </Trouble>
      )}
      {wrong && <p class="wrong">{wrong}</p>}
      {view === "write" && (
        <>
          <Sight book={book} act={act} levels={levels} />
          <SightPad book={book} act={act} levels={levels} />
          <SightMore book={book} act={act} />
          {views /* below the pad's boxes: a reading comes first */}
          <Buttons label="More">
            {book.pad.correction ? (
              <Button press={() => act({ do: "leave" })}>Keep the old row</Button>
            ) : (
              <Button disabled={book.past.length === 0} press={() => act({ do: "take back" })}>
                Undo
              </Button>
            )}
            <Button press={() => void record()} disabled={book.rows.length === 0}>
              Save the book
            </Button>
            <Button press={() => field.go(toPegging(id, along))} disabled={!isSetUp}>
              Peg out
            </Button>
          </Buttons>
          <p class="soft note">
            {book.observedOn && `Recorded on ${day(book.observedOn)}. `}Every key is kept on this phone. The book is saved at each
            foresight, when you leave it, and when you press Save.
          </p>
        </>
      )}
      {view !== "write" && !wrong && book.rows.length > 0 && <p class={`proof ${stands.state}`}>{stands.words}</p>}
      {view === "page" && book.observedOn && <p class="soft">Recorded on {day(book.observedOn)}.</p>}
      {view === "page" && (
        <Page
          book={book}
          act={act}
          levels={levels}
          see={see}
          correct={(at, stand) => {
            act({ do: "correct", at, stand });
            setView("write");
          }}
        />
      )}
      {view === "section" && <LongSection book={book} levels={levels} />}
      {view !== "write" && recorded && <LaterRelatedLinks feature={recorded} />}
    </Frame>
  );
}
