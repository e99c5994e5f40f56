// A level book while it is written: its rows, and the pad on which the next reading is
// keyed. Pure: every action gives another book.

import { type Feature, type Fields, numberOf, textOf } from "../../base/entry.ts";
import { type Cell, live, type Row, rowsOf, type Stand } from "./row.ts";
import { metres, keyedIn } from "./keyed.ts";

/** What reads the heights, as the level run keeps it in its field "instrument". */
export const instruments = ["Dumpy level", "Laser, ordinary staff", "Laser, direct-reading staff"] as const;

/** A direct-reading staff shows how much higher the ground is: the other way about. */
export const readsDirect = (instrument: string): boolean => instrument === instruments[2];

/** What a text on the pad says was read, as it is booked: a direct-reading staff the other way about. */
export function staffIn(text: string, instrument: string): number | undefined {
  const read = keyedIn(text);
  return read && readsDirect(instrument) ? -read : read;
}

/** A booked reading as the staff showed it: "1.435"; of a direct-reading one how much higher the ground is, "+0.340". */
export function asRead(booked: number, instrument: string): string {
  if (!readsDirect(instrument)) return metres(booked);
  return booked < 0 ? `+${metres(-booked)}` : metres(booked && -booked);
}

/** Which numbers the pad types. */
export type Box = "reading" | "known" | "chainage" | "offset" | "distance";
export const boxes: readonly Box[] = ["reading", "known", "chainage", "offset", "distance"];

/** The row that is being written. */
export interface Pad {
  readonly at: number; // its place: rows.length for a new one
  readonly cell: Cell;
  readonly box: Box; // where keys go
  readonly texts: { readonly [box in Box]: string };
  readonly suggested: readonly Box[]; // boxes whose text nobody keyed: the first key replaces it
  readonly doubted: string | null; // the last chainage that the page asked about
  readonly point: string; // "" for the name that the book gives
  readonly stand: Stand | null;
  readonly aside: Stand | null; // where readings go on after a change point, which stands on nothing
  readonly inverted: boolean;
  readonly note: string;
  /** Set while a booked row is corrected. */
  readonly correction: Correction | null;
}

/** What the pad held before a booked row was opened to correct it. */
export interface Correction {
  readonly back: Pad; // the pad as it was, to return to
  readonly other: string; // what is typed of the change point's other reading
}

/** The offset on the pad; undefined where the staff stands on no cross-section. */
export const offsetOn = ({ stand, texts }: Pad): number | undefined => (stand?.spot === "section" ? keyedIn(texts.offset) : undefined);

/** How much a run may be out by: k times the root of set-ups or of kilometres. */
export interface Rule {
  readonly per: "set-up" | "km";
  readonly mm: number;
}

export interface Book {
  readonly id: string;
  readonly name: string;
  readonly observedOn: string; // 2026-11-25
  readonly instrument: string;
  readonly rule: Rule;
  readonly ruleChosen?: boolean; // false while the usual rule judges and nobody has chosen it: it is not recorded then
  readonly rows: readonly Row[];
  readonly staffLengthM?: number | undefined; // its longest reading; absent: the usual one, 5 m
  readonly pad: Pad;
  /** The fields as the register has them, so that only what changed is recorded. */
  readonly recorded: Fields;
  /** What is booked should go to the register now: a set-up is done, or a mistake was struck out. */
  readonly due: boolean;
  readonly past: readonly Pick<Book, "rows" | "pad">[]; // for taking back, newest last; not kept over a restart
}

/** The longest reading of the usual staff; package levelling takes the same when none is given. */
export const usualStaffM = 5;

/** Whether a staff may be so long: the kind's own bounds. */
export const isStaff = (lengthM: number): boolean => lengthM >= 1 && lengthM <= 20;

/** Whether so much may be allowed of a misclosure: the kind's own bound. */
export const isAllowable = (mm: number | undefined): mm is number => mm !== undefined && mm > 0 && mm <= 1000;

export const freshTexts: Pad["texts"] = { reading: "", known: "", chainage: "", offset: "", distance: "" };

/** Engineering work, from memory; package levelling takes the same when none is given. */
export const usualRule: Rule = { per: "set-up", mm: 5 };

export function newBook(id: string, name: string, observedOn: string): Book {
  const book = { id, name, observedOn, instrument: "", rule: usualRule, ruleChosen: false, rows: [], recorded: {}, due: false, past: [] };
  return { ...book, pad: padFor([]) };
}

/** The book of a level run that is in the register. */
export function openBook(feature: Feature): Book {
  const rows = rowsOf(feature);
  const perKm = numberOf(feature, "perRootKmMm");
  const perSetUp = numberOf(feature, "perRootSetupMm");
  const book: Book = {
    id: feature.id,
    name: textOf(feature, "name"),
    observedOn: textOf(feature, "observedOn"),
    instrument: textOf(feature, "instrument"),
    rule: perSetUp !== undefined ? { per: "set-up", mm: perSetUp } : perKm !== undefined ? { per: "km", mm: perKm } : usualRule,
    ruleChosen: perSetUp !== undefined || perKm !== undefined,
    rows,
    staffLengthM: numberOf(feature, "staffLengthM"),
    pad: padFor(rows),
    recorded: {},
    due: false,
    past: [],
  };
  return { ...book, recorded: fieldsOf(book) }; // opening changes nothing, whatever the run left unsaid
}

/** The sights that may come next at a place in the book. */
export function dueCells(rows: readonly Row[], at = rows.length): readonly Cell[] {
  const before = live(rows.slice(0, at));
  return before.length === 0 || before.some(waits) ? ["bs"] : ["is", "fs"];
}

/** A foresight waits for the backsight on the same point, the last one or one that was booked as another sight. */
const waits = ({ row }: { readonly row: Row }): boolean => row.fs !== undefined && row.bs === undefined;

/** An empty pad for what comes next: after a foresight, the backsight on the same point. */
export function padFor(rows: readonly Row[], stand: Stand | null = null): Pad {
  const waiting = live(rows).find(waits);
  const turning = waiting !== undefined;
  return {
    at: turning ? waiting.at : rows.length,
    cell: dueCells(rows)[0]!,
    box: "reading",
    texts: freshTexts,
    suggested: [],
    doubted: null,
    point: "",
    stand: turning ? null : stand,
    aside: turning ? stand : null,
    inverted: turning && waiting.row.inverted === true,
    note: "",
    correction: null,
  };
}

/** What the level run's feature says. */
export function fieldsOf(book: Book): Fields {
  const chosen = book.ruleChosen !== false; // drafts of older versions do not say, and were recorded with it
  return {
    kind: "level-run",
    name: book.name,
    observedOn: book.observedOn,
    instrument: book.instrument || null, // not known is absent
    rows: book.rows,
    staffLengthM: book.staffLengthM ?? null,
    perRootSetupMm: chosen && book.rule.per === "set-up" ? book.rule.mm : null,
    perRootKmMm: chosen && book.rule.per === "km" ? book.rule.mm : null,
  };
}

/** The fields that the register does not have yet as they are; none when it has them all. */
export function unrecorded(book: Book): Fields | null {
  if (book.rows.length === 0) return null;
  const all = Object.entries(fieldsOf(book)).filter(
    ([name, value]) => JSON.stringify(value) !== JSON.stringify(book.recorded[name] ?? null),
  );
  return all.length > 0 ? Object.fromEntries(all) : null;
}
