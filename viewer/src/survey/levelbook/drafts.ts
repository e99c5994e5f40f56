// A book that is being written, as the phone keeps it between one key and the next.

import type { Feature } from "../../base/entry.ts";
import type { Store } from "../../storage/store.ts";
import { type Book, boxes, type Correction, freshTexts, newBook, openBook, type Pad, padFor, unrecorded } from "./book.ts";
import type { Row } from "./row.ts";

const draftKey = (id: string): string => `level book ${id}`;
const openKey = (property: string): string => `open level book ${property}`;

/** A book is kept without what could be taken back: that grows with every step. */
export const keepBook = (store: Store, book: Book): Promise<void> => store.keepDraft(draftKey(book.id), { ...book, past: [] });

/** A book as it was left, if it was. */
export async function draftOf(store: Store, id: string): Promise<Book | undefined> {
  const draft = await store.draft<Book>(draftKey(id));
  return draft && whole(draft);
}

/** A pad of any version: an older page kept less of it, and the correction under its older name. */
type KeptPad = Partial<Omit<Pad, "correction">> & { readonly [name in "correction" | "mending"]?: KeptCorrection | null };
type KeptCorrection = Omit<Correction, "back"> & { readonly back: KeptPad };

/** A draft of any version. */
export function whole(draft: Omit<Book, "pad"> & { readonly pad: KeptPad }): Book {
  const filled = ({ mending = null, correction = mending, ...pad }: KeptPad): Pad => ({
    ...padFor(draft.rows),
    ...pad,
    texts: { ...freshTexts, ...pad.texts }, // an older page had no offsets
    correction: correction && { ...correction, back: filled(correction.back) },
  });
  return { ...draft, pad: filled(draft.pad) };
}

const leaving = new WeakMap<Store, Promise<void>>();
const left = (store: Store): Promise<void> => leaving.get(store) ?? Promise.resolve();

/** What is still done about a book that was left: until then nobody says whether it is being written. */
export const afterLeaving = (store: Store, work: () => Promise<void>): void => {
  leaving.set(
    store,
    left(store)
      .then(work)
      .catch(() => {}), // the draft is there still
  );
};

/** Which book of the property is being written, if any. */
export const openBookOf = (store: Store, property: string): Promise<string | undefined> =>
  left(store).then(() => openKept(store, property));
const openKept = (store: Store, property: string): Promise<string | undefined> => store.draft<string>(openKey(property));
export const setOpenBook = (store: Store, property: string, id: string): Promise<void> => store.keepDraft(openKey(property), id);

/** The book of a property that was left with rows, or a row half keyed or being corrected, that the register does not have. */
export async function unfinishedBook(store: Store, property: string): Promise<Book | undefined> {
  const id = await openBookOf(store, property);
  const draft = id === undefined ? undefined : await draftOf(store, id);
  return draft && (draft.pad.correction || unrecorded(draft) || keyedOn(draft.pad)) ? draft : undefined;
}

/** The book as it was left: what was keyed and not recorded, else the register's, else a new one. */
export async function loadBook(store: Store, id: string, name: string, day: string): Promise<Book> {
  const [draft, feature] = await Promise.all([draftOf(store, id), store.feature(id)]);
  return chosen(draft, feature) ?? newBook(id, name, day);
}

/** A draft stands while it has what the register does not; then another phone's rows may be newer. */
export function chosen(draft: Book | undefined, feature: Feature | undefined): Book | undefined {
  const registered = feature && openBook(feature); // of one that is struck out too: a new book would take the place of its rows
  if (!draft) return registered;
  if (!registered) return draft;
  if (unrecorded(draft)) return { ...draft, staffLengthM: "staffLengthM" in draft ? draft.staffLengthM : registered.staffLengthM };
  return { ...registered, pad: padOver(registered.rows, draft) };
}

/** What was keyed and not booked, over the rows that the register has now. */
function padOver(rows: readonly Row[], { pad, rows: before }: Book): Pad {
  const same = (a: unknown, b: unknown) => JSON.stringify(a) === JSON.stringify(b);
  const fresh = padFor(rows, pad.stand ?? pad.aside);
  if (!halfWritten(pad)) return fresh;
  if (same(rows, before)) return pad;
  if (!pad.correction) return { ...fresh, texts: pad.texts };
  return same(rows[pad.at], before[pad.at]) ? { ...pad, correction: { ...pad.correction, back: fresh } } : fresh;
}

/** Whether the officer keyed something that is not booked: what the book proposes by itself is nothing of hers. */
export const keyedOn = (pad: Pad): boolean =>
  pad.point !== "" || pad.note !== "" || boxes.some((box) => pad.texts[box] !== "" && !pad.suggested.includes(box));

const halfWritten = (pad: Pad): boolean =>
  pad.correction !== null || pad.point !== "" || pad.note !== "" || Object.values(pad.texts).some((text) => text !== "");

/** Forgets the draft of a book that the register has whole. */
export async function dropBook(store: Store, property: string, book: Book): Promise<void> {
  if (unrecorded(book) || halfWritten(book.pad)) return;
  const open = await openKept(store, property);
  await store.keepDrafts(
    new Map([
      [draftKey(book.id), undefined],
      [openKey(property), open === book.id ? undefined : open],
    ]),
  );
}
