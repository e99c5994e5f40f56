// All that was begun on this phone and is not saved yet, read at once: the first screen draws
// its list together with what is said of it, so that nothing comes later and pushes the list
// from under a finger.

import { keptNow } from "../../storage/persistence.ts";
import type { Book } from "../../survey/levelbook/book.ts";
import { unfinishedBook } from "../../survey/levelbook/drafts.ts";
import { type BegunLine, begunLines, begunShapes } from "../../survey/line/drafts.ts";
import { openForms, type OpenForm } from "../part/openform.ts";
import { photoStoreOf } from "../../survey/photo/photostore.ts";
import type { Shot } from "../../survey/photo/pendingphotos.ts";
import type { Recorded, Store } from "../../storage/store.ts";
import { type BegunVisit, begunVisits } from "../../survey/visit/form.ts";
import { dayBegan, undoneKey } from "../../survey/item/acts.ts";

export interface Begun {
  readonly forms: readonly OpenForm[];
  readonly book: Book | undefined;
  readonly lines: readonly BegunLine[];
  readonly visits: readonly BegunVisit[];
  readonly shapes: ReadonlyMap<string, string>; // stamps of the items whose shape or position was being edited
  readonly shots: readonly Shot[];
  readonly recordedToday: RecordedToday;
  readonly kept: boolean | undefined; // whether the browser promised to keep all this
}

/** What this phone recorded today, and which of its entries undid others. */
export interface RecordedToday {
  readonly recorded: readonly Recorded[];
  readonly undone: readonly string[];
}

export async function recordedTodayOn(store: Store, property: string): Promise<RecordedToday> {
  const [recorded, undone] = await Promise.all([
    store.recordedSince(property, dayBegan(new Date())),
    store.draft<readonly string[]>(undoneKey).catch(() => undefined),
  ]);
  return { recorded, undone: undone ?? [] };
}

const noneRecorded: RecordedToday = { recorded: [], undone: [] };
export const nothingBegun: Begun = {
  forms: [],
  book: undefined,
  lines: [],
  visits: [],
  shapes: new Map(),
  shots: [],
  recordedToday: noneRecorded,
  kept: undefined,
};

export async function begunWork(store: Store, property: string): Promise<Begun> {
  const [forms, book, lines, visits, shapes, shots, recordedToday, kept] = await Promise.all([
    openForms(store, property).catch(() => []), // what cannot be read hides nothing else
    unfinishedBook(store, property).catch(() => undefined),
    begunLines(store, property).catch(() => []),
    begunVisits(store).catch(() => []),
    begunShapes(store).catch(() => nothingBegun.shapes),
    photoStoreOf(store)
      .shots()
      .catch(() => []),
    recordedTodayOn(store, property).catch(() => noneRecorded),
    keptNow(),
  ]);
  return { forms, book, lines, visits, shapes, shots, recordedToday, kept };
}
