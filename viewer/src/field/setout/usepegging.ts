// Pegging with the set-up of a level book: what is typed on the pad, kept at every key; and
// pegs saved together with their rows in the book.

import { useCallback, useEffect, useMemo, useRef, useState } from "preact/hooks";
import { useField } from "../field.ts";
import type { Draft } from "../shelf.ts";
import { type Book, asRead, dueCells, readsDirect } from "../book/book.ts";
import { Keeper } from "../kit/keeper.ts";
import type { Key } from "../book/reading.ts";
import { numberIn, pressOn, tidy } from "../book/reading.ts";
import { pointOf } from "../book/point.ts";
import type { Row, Stand } from "../book/row.ts";
import { useBook, type OpenBook } from "../book/usebook.ts";

/** Texts of the boxes on the screen, by name, and choices that were made. */
export type Typed = { readonly [name: string]: string };

export interface Pegging extends OpenBook {
  readonly typed: Typed;
  readonly set: (change: Typed) => void;
  /** Which boxes hold a number that nobody keyed: the first key replaces it. */
  readonly isSuggested: (box: string) => boolean;
  /** Whether a chainage may be pegged by; if it can hardly be meant, the officer is asked first. */
  readonly sure: (box: string, question: string | undefined) => boolean;
  /** The question that waits for an answer, of the number as it stands. */
  readonly doubt: { readonly box: string; readonly words: string; readonly yes: string; readonly confirm: () => void } | null;
  readonly box: string; // where the pad types
  readonly take: (box: string) => void;
  readonly press: (key: Key) => void;
  readonly read: number | undefined;
  readonly direct: boolean;
  readonly sightM: number | undefined;
  /** Why nothing can be read now, for the officer; "" when it can. */
  readonly barred: string;
  /** Goes on from a run that has just ended, where the level stands as it stood; null when it cannot. */
  readonly goOn: { readonly words: string; readonly press: () => void } | null;
  readonly pegs: number; // saved from this screen
  /** Saves a peg with its row in the book; the features are drafts of the same capture. */
  readonly peg: (row: Row, features: readonly Draft[], said: string, then?: Typed, suggest?: Typed) => Promise<void>;
  /** Takes the last peg back: it and its row are struck out. */
  readonly takeBack: (() => void) | null;
}

export function usePegging(id: string, task: string, first: Typed): Pegging {
  const field = useField();
  const open = useBook(id);
  const { book, levels, act, record } = open;
  const [typed, setTyped] = useState<Typed>(first);
  const [box, take] = useState("reading");
  const [pegs, setPegs] = useState(0);
  const [last, setLast] = useState<{ at: number; features: readonly string[] } | null>(null);
  const key = `pegging ${task} ${id}`;
  const keeper = useMemo(() => new Keeper<Typed>((value) => field.shelf.keepDraft(key, value), () => {}), [key]); // the book's own keeper tells of trouble
  useEffect(() => {
    let here = true;
    field.shelf.draft<Typed>(key).then((kept) => here && kept && setTyped((now) => ({ ...now, ...kept })), () => {});
    return () => void (here = false);
  }, [key]);
  const set = useCallback((change: Typed) => {
    setTyped((now) => {
      const next = { ...now, ...change };
      keeper.keep(next);
      return next;
    });
  }, [keeper]);
  const sort = box === "reading" ? "staff" : "plain";
  const suggested = (typed[suggestedName] ?? "").split(" ");
  const isSuggested = (name: string) => suggested.includes(name) && (typed[name] ?? "") !== "";
  const keyed = (change: Typed) => set({ [suggestedName]: suggested.filter((name) => !(name in change)).join(" "), ...change });
  const [asked, ask] = useState<{ box: string; text: string; words: string } | null>(null);
  const confirmed = useRef(""); // at once: the peg is saved by the same tap
  const sure = (name: string, words: string | undefined) => {
    const text = typed[name] ?? "";
    if (words === undefined || confirmed.current === `${name} ${text}`) return true;
    ask({ box: name, text, words });
    take(name);
    return false;
  };
  const doubt = asked && (typed[asked.box] ?? "") === asked.text
    ? { box: asked.box, words: asked.words, yes: `It is ${asked.text} m: peg it`, confirm: () => void (confirmed.current = `${asked.box} ${asked.text}`) }
    : null;
  const saving = useRef(false); // a thumb that presses twice pegs once
  const peg = async (row: Row, features: readonly Draft[], said: string, then: Typed = {}, suggest: Typed = {}) => {
    if (!book || saving.current) return;
    saving.current = true;
    try {
      await pegOnce(book, row, features, said, then, suggest);
    } finally {
      saving.current = false;
    }
  };
  const pegOnce = async (book: Book, row: Row, features: readonly Draft[], said: string, then: Typed, suggest: Typed) => {
    const at = book.rows.length;
    act({ do: "add", row });
    if (!(await record(features, said))) {
      act({ do: "take back" });
      return;
    }
    set({ reading: "", ...then, ...suggest, [suggestedName]: Object.keys(suggest).join(" ") });
    ask(null);
    confirmed.current = "";
    take("reading");
    setPegs((n) => n + 1);
    setLast({ at, features: features.flatMap((d) => (d.feature && d.set?.["kind"] !== undefined ? [d.feature] : [])) });
  };
  const takeBack = last && (() => {
    setLast(null);
    act({ do: "strike", at: last.at });
    void record(last.features.map((feature) => ({ feature, strike: true })), "The last peg is struck out");
  });
  const barred = !book
    ? ""
    : book.pad.mending
      ? "A row of the book is being written again. In the book, book it or keep the old row first."
      : levels?.sightM === undefined
        ? "The level is not set up in this book: read a backsight on a point of known level first."
        : !dueCells(book.rows).includes("is")
          ? "The book waits for a backsight since the last foresight: read it first, in the book."
          : "";
  const ended = book && !book.pad.mending && book.pad.at < book.rows.length ? book.rows[book.pad.at] : undefined;
  const goOn = ended?.fs !== undefined && ended.bs === undefined && book!.pad.at === book!.rows.length - 1
    ? { words: `The level has not moved: ${asRead(ended.fs, book!.instrument)} on ${ended.point} is its backsight too`, press: () => act({ do: "unmoved" }) }
    : null;
  return {
    ...open, goOn, typed, set: keyed, box, take, isSuggested, sure, doubt,
    press: (k) => keyed({ [box]: pressOn(typed[box] ?? "", k, sort, isSuggested(box)) }),
    read: numberIn(typed["reading"] ?? ""),
    direct: book ? readsDirect(book.instrument) : false,
    sightM: barred ? undefined : levels?.sightM,
    barred, pegs, peg, takeBack,
  };
}

const suggestedName = "suggested"; // among what is typed: the names of boxes, so that it is kept with them

/** The text of a box as typed on a keyboard. */
export const typedText = (name: string, text: string): Typed => ({ [name]: tidy(text, name === "reading" ? "staff" : "plain") });

/** The row of a peg, named as the book names it. */
export function pegRow(pegging: Pegging, stand: Stand | null, chainageM: number | undefined, point?: string): Row {
  const { book, read, direct } = pegging;
  const turned = direct && read !== 0 ? -read! : read!;
  const chainage = chainageM === undefined ? "" : String(chainageM);
  const named = { ...book!, pad: { ...book!.pad, at: book!.rows.length, cell: "is" as const, point: "", stand, texts: { ...book!.pad.texts, chainage } } };
  return {
    point: point ?? pointOf(named),
    is: turned,
    ...(stand ? { feature: stand.feature, spot: stand.spot } : {}),
    ...(stand && chainageM !== undefined ? { chainageM } : {}),
  };
}
