// A level book on the screen: kept at every key, reduced as it is typed, recorded when a
// set-up is done, when the screen is left, and when the officer says so.

import { dayOf } from "../../base/words.ts";
import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Problem } from "../../base/problem.ts";
import { useField } from "../context/field.ts";
import type { Draft } from "../../storage/store.ts";
import { LatestWriter } from "../../storage/latestwriter.ts";
import { type Told, troubleOf as told } from "../../storage/errors.ts";
import { type Book, fieldsOf, unrecorded } from "../../survey/levelbook/book.ts";
import { afterLeaving, dropBook, keepBook, loadBook, setOpenBook } from "../../survey/levelbook/drafts.ts";
import { askFor, type Levels, levelsOf, type RunInput, type RunOutput, wrongWords } from "../../survey/levelbook/levels.ts";
import { askForPad, withPadLevel } from "../../survey/levelbook/padlevel.ts";
import { type Act, withPad, write } from "../../survey/levelbook/write.ts";
import { useAsking } from "../../ui/hooks.ts";

export interface OpenBook {
  readonly book: Book | null; // null while it is fetched
  readonly act: (act: Act) => void;
  readonly levels: Levels | null;
  /** Why there are no levels, for the officer; "" when there are, or nothing is booked. */
  readonly wrong: string;
  /** Every key pressed so far is on the phone. */
  readonly kept: boolean;
  readonly trouble: Told | null;
  /** Records what the register lacks, with other drafts of the same capture; true when it is saved. */
  readonly record: (also?: readonly Draft[], said?: string) => Promise<boolean>;
}

const writeOpened = (book: Book | null, act: Act): Book | null => (act.do === "open" ? act.book : book && write(book, act));

export function useBook(id: string): OpenBook {
  const field = useField();
  const { store, property } = field;
  const [book, show] = useState<Book | null>(null);
  const [keptBook, setKept] = useState<Book | null>(null);
  const [unsaved, setUnsaved] = useState<Told | null>(null); // why what was to be recorded is not, until it is
  const [unkept, setUnkept] = useState<Told | null>(null); // why the phone did not keep what was keyed last
  const now = useRef<Book | null>(null);
  const act = useCallback((what: Act) => {
    now.current = writeOpened(now.current, what); // at once: what is recorded next is what was written last
    show(now.current);
  }, []);
  const run = useRef(field);
  run.current = field;

  useAsking(
    () => {
      const runs = field.features.filter((f) => f.fields["kind"] === "level-run" && !f.struck).length;
      return loadBook(store, id, `Run ${runs + 1}`, dayOf(new Date()));
    },
    [id],
    (opened) => {
      // Rows that a killed page left behind go to the register now.
      act({ do: "open", book: { ...opened, due: opened.due || (opened.rows.length > 0 && unrecorded(opened) !== null) } });
      void setOpenBook(store, property.id, id).catch(() => {}); // only where to go on
    },
    (error) => setUnkept(told(error)),
  );

  const writer = useMemo(
    () =>
      new LatestWriter<Book>(
        (value) => keepBook(store, value),
        (kept, error) => {
          setKept(kept);
          setUnkept(error ? told(error) : null);
        },
      ),
    [store],
  );
  useEffect(() => {
    if (book && written(book)) writer.keep(book);
  }, [book, writer]);

  const recording = useRef<Promise<boolean> | null>(null);
  const record = useCallback(async (also: readonly Draft[] = [], said?: string): Promise<boolean> => {
    while (recording.current) await recording.current;
    const current = now.current;
    const fields = current && unrecorded(current);
    if (!current || (!fields && also.length === 0)) {
      if (current?.due) act({ do: "recorded", fields: { rows: current.rows } });
      return true;
    }
    const capture = async () => {
      const drafts = [...also, ...(fields ? [{ feature: current.id, set: fields }] : [])];
      await run.current.capture(drafts, said ?? `${current.name} saved`, false);
    };
    const work = capture()
      .then(
        () => {
          setUnsaved(null);
          act({ do: "recorded", fields: fields ?? {} });
          return true;
        },
        (error: unknown) => {
          setUnsaved(told(error));
          return false;
        },
      )
      .finally(() => (recording.current = null));
    recording.current = work;
    return work;
  }, []);

  useEffect(() => {
    if (book?.due) void record();
  }, [book?.due, book?.rows, record]);

  useEffect(() => {
    const leaving = () => document.visibilityState === "hidden" && void record();
    document.addEventListener("visibilitychange", leaving);
    return () => {
      document.removeEventListener("visibilitychange", leaving);
      afterLeaving(store, async () => {
        const last = now.current;
        if (last && (await record())) await dropBook(store, property.id, write(last, { do: "recorded", fields: fieldsOf(last) }));
      });
    };
  }, [record, store, property.id]);

  const { levels, wrong } = useLevels(book);
  // A book is kept when this very one is, not the one before the last key.
  const kept = !book || !written(book) || keptBook === book;
  return { book, act, levels, wrong, kept, trouble: unsaved ?? unkept, record };
}

/** Whether there is anything in the book that could be lost. */
const written = ({ rows, pad }: Book): boolean => rows.length > 0 || pad.texts.reading !== "" || pad.texts.known !== "";

/** How long after the last key the whole book is worked out, when the row on the pad was beforehand. */
const restMS = 300;

/** The levels of the book as it stands, a moment after it changed: of the row on the pad at once, then of all. */
function useLevels(book: Book | null): { levels: Levels | null; wrong: string } {
  const { model } = useField();
  const [answer, setAnswer] = useState<{ levels: Levels | null; wrong: string }>({ levels: null, wrong: "" });
  const asked = useRef(0);
  const whole = useRef<{ of: Book; levels: Levels } | null>(null);
  useLayoutEffect(() => {
    // before the drawing: the answer is wanted at once
    const mine = ++asked.current;
    const show = (levels: Levels | null, wrong: string) => mine === asked.current && setAnswer({ levels, wrong });
    const reduce = (input: RunInput) => model.compute<RunOutput>("level-run", input);
    const ask = book && askFor(book);
    if (!book || !ask) return void show(null, "");
    const rows = withPad(book);
    const all = () =>
      reduce(ask.input).then(
        (run) => {
          const levels = levelsOf(run, rows.length, ask.open);
          whole.current = { of: book, levels };
          show(levels, "");
        },
        (problem: unknown) => show(null, wrongWords(problem as Problem, rows)),
      );
    const before = whole.current?.of.rows === book.rows ? whole.current.levels : null;
    const pad = before && askForPad(book, before);
    if (!before || !pad) return void all();
    reduce(pad).then(
      (run) => show(withPadLevel(book, before, run), ""),
      () => {},
    ); // what is wrong the whole book tells
    const rest = setTimeout(all, restMS);
    return () => clearTimeout(rest);
  }, [book?.rows, book?.pad, book?.rule, book?.instrument, model]);
  return answer;
}
