// Pegging with the set-up of a level book: what is typed on the pad, kept at every key; and
// pegs saved together with their rows in the book.

import { useCallback, useEffect, useMemo, useState } from "preact/hooks";
import { useField } from "../field.ts";
import type { Draft } from "../shelf.ts";
import { dueCells, readsDirect } from "../book/book.ts";
import { Keeper } from "../kit/keeper.ts";
import type { Key } from "../book/reading.ts";
import { numberIn, press, tidy } from "../book/reading.ts";
import { pointOf } from "../book/point.ts";
import type { Row, Stand } from "../book/row.ts";
import { useBook, type OpenBook } from "../book/usebook.ts";

/** Texts of the boxes on the screen, by name, and choices that were made. */
export type Typed = { readonly [name: string]: string };

export interface Pegging extends OpenBook {
  readonly typed: Typed;
  readonly set: (change: Typed) => void;
  readonly box: string; // where the pad types
  readonly take: (box: string) => void;
  readonly press: (key: Key) => void;
  readonly read: number | undefined;
  readonly direct: boolean;
  readonly sightM: number | undefined;
  /** Why nothing can be read now, for the officer; "" when it can. */
  readonly barred: string;
  readonly pegs: number; // saved from this screen
  /** Saves a peg with its row in the book; the features are drafts of the same capture. */
  readonly peg: (row: Row, features: readonly Draft[], said: string, then?: Typed) => Promise<void>;
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
  const peg = async (row: Row, features: readonly Draft[], said: string, then: Typed = {}) => {
    if (!book) return;
    const at = book.rows.length;
    act({ do: "add", row });
    if (!(await record(features, said))) {
      act({ do: "take back" });
      return;
    }
    set({ reading: "", ...then });
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
  return {
    ...open, typed, set, box, take,
    press: (k) => set({ [box]: press(typed[box] ?? "", k, sort) }),
    read: numberIn(typed["reading"] ?? ""),
    direct: book ? readsDirect(book.instrument) : false,
    sightM: barred ? undefined : levels?.sightM,
    barred, pegs, peg, takeBack,
  };
}

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
