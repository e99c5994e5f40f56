// All that was begun on this phone and is not saved yet, read at once: the first screen draws
// its list together with what is said of it, so that nothing comes later and pushes the list
// from under a finger.

import { keptNow } from "../app/storage.ts";
import type { Book } from "../book/book.ts";
import { unfinishedBook } from "../book/drafts.ts";
import { begunLines, type BegunLine } from "../line/keep.ts";
import { openForm, type OpenForm } from "../mark/openform.ts";
import { filmOf } from "../picture/film.ts";
import type { Shot } from "../picture/roll.ts";
import type { Recorded, Shelf } from "../shelf.ts";
import { dayBegan } from "./acts.ts";

export interface Begun {
  readonly form: OpenForm | undefined;
  readonly book: Book | undefined;
  readonly lines: readonly BegunLine[];
  readonly shots: readonly Shot[];
  readonly today: readonly Recorded[]; // what this phone recorded today
  readonly kept: boolean | undefined; // whether the browser promised to keep all this
}

export const nothingBegun: Begun = { form: undefined, book: undefined, lines: [], shots: [], today: [], kept: undefined };

export async function begunWork(shelf: Shelf, property: string): Promise<Begun> {
  const [form, book, lines, shots, today, kept] = await Promise.all([
    openForm(shelf, property).catch(() => undefined), // one that cannot be read hides no other
    unfinishedBook(shelf, property).catch(() => undefined),
    begunLines(shelf, property).catch(() => []),
    filmOf(shelf).shots().catch(() => []),
    shelf.recordedSince(property, dayBegan(new Date())).catch(() => []),
    keptNow(),
  ]);
  return { form, book, lines, shots, today, kept };
}
