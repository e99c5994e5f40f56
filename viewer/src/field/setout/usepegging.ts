// Pegging with the set-up of a level book: what is typed on the pad, kept at every key; and
// pegs saved together with their rows in the book.

import { useCallback, useEffect, useMemo, useRef, useState } from "preact/hooks";
import { useField } from "../context/field.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import type { Draft } from "../../storage/store.ts";
import { asRead, dueCells, readsDirect } from "../../survey/levelbook/book.ts";
import { LatestWriter } from "../../storage/latestwriter.ts";
import { type Key, keyedIn, pressOn, tidy } from "../../survey/levelbook/keyed.ts";
import { write } from "../../survey/levelbook/write.ts";
import { pointOf } from "../../survey/levelbook/point.ts";
import type { Row, Stand } from "../../survey/levelbook/row.ts";
import { useBook, type OpenBook } from "../part/usebook.ts";
import { clock } from "../../base/words.ts";
import { useAsking } from "../../ui/hooks.ts";

/** Texts of the boxes on the screen, by name, and choices that were made. */
export type Typed = { readonly [name: string]: string };

/** A question about a number that can hardly be meant. */
export interface Asks {
  readonly words: string;
  readonly ifNot?: string;
  readonly yes: string;
}

/** After which a reading is no longer taken for one of where the staff stands now. Common practice, no source. */
const freshMS = 3 * 60_000;

export interface Pegging extends OpenBook {
  readonly along: Feature | undefined; // the item whose plan she came to peg
  readonly typed: Typed;
  readonly set: (change: Typed) => void;
  /** Which boxes hold a number that nobody keyed now: the first key replaces it. */
  readonly isSuggested: (box: string) => boolean;
  /** Whether a proposed number is taken: it is once the officer pressed again with its box before her. */
  readonly accepted: (box: string) => boolean;
  /** Whether a peg may be saved with a number; if it can hardly be meant, the officer is asked first. */
  readonly sure: (box: string, question: Asks | string | undefined) => boolean;
  /** The question that waits for an answer, of the number as it stands. */
  readonly doubt: (Asks & { readonly confirm: () => void }) | null;
  /** When the reading was keyed, if that was a while ago or before this screen was opened; "" for a fresh one. */
  readonly keptFrom: string;
  readonly box: string; // where the pad types
  readonly take: (box: string) => void;
  readonly press: (key: Key) => void;
  readonly read: number | undefined;
  readonly direct: boolean;
  readonly sightM: number | undefined;
  /** Why nothing can be read now, for the officer; "" when it can. */
  readonly barred: string;
  /** Goes on from a run that has just ended, where the level stands as it stood; undefined when it cannot. */
  readonly goOn: { readonly words: string; readonly press: () => void } | undefined;
  readonly pegs: number; // saved from this screen
  /** Saves a peg with its row in the book; the features are drafts of the same capture. */
  readonly peg: (row: Row, features: readonly Draft[], said: string, then?: Typed, suggest?: Typed) => Promise<void>;
  /** Takes the last peg back: its row is struck out, and so is what began with it; what was there before is again as it was. */
  readonly restore: (() => void) | null;
}

/** Where the officer came to peg: chosen in a box as if by her, and what was typed of another place begins afresh. */
export interface Along {
  readonly box: string;
  readonly item: Feature | undefined;
  readonly afresh: Typed;
}

export function usePegging(id: string, task: string, first: Typed, along?: Along): Pegging {
  const field = useField();
  const open = useBook(id);
  const { book, levels, act, record } = open;
  const [typed, setTyped] = useState<Typed>(along?.item ? { ...first, [along.box]: along.item.id } : first);
  const [box, take] = useState("reading");
  const [pegs, setPegs] = useState(0);
  const [isOld, setOld] = useState(false);
  const key = `pegging ${task} ${id}`;
  const writer = useMemo(
    () =>
      new LatestWriter<Typed>(
        (value) => field.store.keepDraft(key, value),
        () => {},
      ),
    [key],
  ); // the book's own keeper tells of trouble
  useAsking(
    () => field.store.draft<Typed>(key),
    [key],
    (kept) => {
      if (!kept) return;
      const elsewhere = along?.item && kept[along.box] !== along.item.id;
      setTyped((now) => ({ ...now, ...kept, ...(elsewhere ? { ...along.afresh, [along.box]: along.item!.id } : {}) }));
      setOld((kept["reading"] ?? "") !== "");
    },
  );
  useEffect(() => {
    if ((typed["reading"] ?? "") === "") return;
    const grows = setTimeout(() => setOld(true), freshMS);
    return () => clearTimeout(grows);
  }, [typed["reading"]]);
  const set = useCallback(
    (change: Typed) => {
      setTyped((now) => {
        const next = { ...now, ...change };
        writer.keep(next);
        return next;
      });
    },
    [writer],
  );
  const sort = box === "reading" ? "staff" : "plain";
  const suggested = (typed[suggestedName] ?? "").split(" ");
  const keptFrom =
    isOld && (typed["reading"] ?? "") !== "" ? (typed[readAtName] ? clock(new Date(typed[readAtName]), new Date()) : "earlier") : "";
  const isSuggested = (name: string) => (typed[name] ?? "") !== "" && (suggested.includes(name) || (name === "reading" && keptFrom !== ""));
  const [asked, ask] = useState<(Asks & { box: string; text: string }) | null>(null);
  const keyed = (change: Typed) => {
    ask(null); // it was asked of what stood there before
    if ("reading" in change) setOld(false);
    set({
      [suggestedName]: suggested.filter((name) => !(name in change)).join(" "),
      ...("reading" in change ? { [readAtName]: new Date().toISOString() } : {}),
      ...change,
    });
  };
  const confirmed = useRef<readonly string[]>([]); // at once: the peg is saved by the same tap
  const sure = (name: string, question: Asks | string | undefined) => {
    const text = typed[name] ?? "";
    if (question === undefined) return true;
    const { words, ...rest } = typeof question === "string" ? { words: question, yes: `It is ${text} m: peg it` } : question;
    if (confirmed.current.includes(`${name} ${text} ${words}`)) return true;
    ask({ box: name, text, words, ...rest });
    take(name);
    return false;
  };
  const doubt = asked && {
    ...asked,
    confirm: () => {
      ask(null);
      confirmed.current = [...confirmed.current, `${asked.box} ${asked.text} ${asked.words}`];
    },
  };
  const accepted = (name: string) => {
    if (!isSuggested(name) || box === name) return true;
    take(name);
    return false;
  };
  const saving = useRef(false); // a thumb that presses twice pegs once
  const peg = async (row: Row, features: readonly Draft[], said: string, then: Typed = {}, suggest: Typed = {}) => {
    if (saving.current) return;
    saving.current = true;
    try {
      await pegOnce(row, features, said, then, suggest);
    } finally {
      saving.current = false;
    }
  };
  const pegOnce = async (row: Row, features: readonly Draft[], said: string, then: Typed, suggest: Typed) => {
    const pegged = lastPeg(row, features, field.features, typed, { ...then, ...suggest });
    act({ do: "add", row });
    if (!(await record(features, said))) {
      act({ do: "take back" });
      return;
    }
    set({ reading: "", ...then, ...suggest, [suggestedName]: Object.keys(suggest).join(" "), [lastName]: JSON.stringify(pegged) });
    ask(null);
    confirmed.current = [];
    take("reading");
    setPegs((n) => n + 1);
  };
  const last = lastIn(typed);
  const lastAt =
    last && book
      ? book.rows
          .map((row) => !row.struck && row.point === last.row.point && row.is === last.row.is && row.feature === last.row.feature)
          .lastIndexOf(true)
      : -1;
  const restore =
    last && lastAt >= 0
      ? () => {
          set({ [lastName]: "", ...last.typed });
          act({ do: "strike", at: lastAt });
          void record(
            [...last.features.map((feature) => ({ feature, strike: true })), ...(last.edited ?? [])],
            "The last peg is struck out",
          );
        }
      : null;
  const barred =
    !book || (book.rows.length > 0 && !levels && !open.wrong) // its levels are not worked out yet
      ? ""
      : book.pad.correction
        ? "A row of the book is being written again. In the book, book it or keep the old row first."
        : levels?.sightM === undefined
          ? "The level is not set up in this book: read a backsight on a point of known level first."
          : !dueCells(book.rows).includes("is")
            ? "The last reading was a foresight, so the next must be a backsight: read it in the level book first."
            : "";
  const unmoved = book && write(book, { do: "unmoved" });
  const ended = unmoved && unmoved !== book ? unmoved.rows[unmoved.rows.length - 1] : undefined;
  const goOn = ended && {
    words: `The level has not moved: ${asRead(ended.bs!, unmoved!.instrument)} on ${ended.point} is its backsight too`,
    press: () => act({ do: "unmoved" }),
  };
  return {
    ...open,
    along: along?.item,
    goOn,
    typed,
    set: keyed,
    box,
    take,
    isSuggested,
    accepted,
    sure,
    doubt,
    keptFrom,
    press: (k) => keyed({ [box]: pressOn(typed[box] ?? "", k, sort, isSuggested(box)) }),
    read: keyedIn(typed["reading"] ?? ""),
    direct: book ? readsDirect(book.instrument) : false,
    sightM: barred ? undefined : levels?.sightM,
    barred,
    pegs,
    peg,
    restore,
  };
}

// Among what is typed, so that it is kept with it over a restart:
const suggestedName = "suggested"; // the names of boxes whose number nobody keyed
const readAtName = "readAt"; // when the reading was keyed
const lastName = "last"; // the peg saved last, to be struck out

interface LastPeg {
  readonly row: Row;
  readonly features: readonly string[]; // begun with it
  /** Fields of others as they were before it; pegs kept by an older page have none. */
  readonly edited?: readonly { readonly feature: string; readonly set: Fields }[];
  readonly typed?: Typed; // and what was typed that it changed
}

function lastPeg(row: Row, drafts: readonly Draft[], features: readonly Feature[], typed: Typed, then: Typed): LastPeg {
  const begun = drafts.flatMap((d) => (d.feature && d.set?.["kind"] !== undefined ? [d.feature] : []));
  const edited = drafts.flatMap(({ feature, set }) => {
    const was = features.find((f) => f.id === feature)?.fields;
    return was && feature && set ? [{ feature, set: Object.fromEntries(Object.keys(set).map((name) => [name, was[name] ?? null])) }] : [];
  });
  return { row, features: begun, edited, typed: Object.fromEntries(Object.keys(then).map((name) => [name, typed[name] ?? ""])) };
}

function lastIn(typed: Typed): LastPeg | null {
  try {
    return JSON.parse(typed[lastName] || "null") as LastPeg | null;
  } catch {
    return null;
  }
}

/** The text of a box as typed on a keyboard. */
export const typedText = (name: string, text: string): Typed => ({ [name]: tidy(text, name === "reading" ? "staff" : "plain") });

/** The row of a peg, named as the book names it. */
export function pegRow(pegging: Pegging, stand: Stand | null, chainageM: number | undefined, point?: string): Row {
  const { book, read, direct } = pegging;
  const chainage = chainageM === undefined ? "" : String(chainageM);
  const named = {
    ...book!,
    pad: { ...book!.pad, at: book!.rows.length, cell: "is" as const, point: "", stand, texts: { ...book!.pad.texts, chainage } },
  };
  return {
    point: point ?? pointOf(named),
    is: direct ? 0 - read! : read!, // never -0
    ...(stand ? { feature: stand.feature, spot: stand.spot } : {}),
    ...(stand && chainageM !== undefined ? { chainageM } : {}),
  };
}
