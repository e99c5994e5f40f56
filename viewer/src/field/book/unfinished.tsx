// A level book that has rows which the register does not have yet, because the page was
// closed or killed over it: they are kept, and this says where.

import { useEffect, useState } from "preact/hooks";
import { count } from "../app/words.ts";
import { useField } from "../field.ts";
import type { Book } from "./book.ts";
import { unrecorded } from "./book.ts";
import { draftOf, openBookOf } from "./drafts.ts";

export function UnfinishedBook() {
  const { shelf, property } = useField();
  const [book, setBook] = useState<Book | undefined>();
  useEffect(() => {
    let here = true;
    const look = async () => {
      const id = await openBookOf(shelf, property.id);
      const draft = id === undefined ? undefined : await draftOf(shelf, id);
      if (here) setBook(draft && (draft.pad.mending || unrecorded(draft)) ? draft : undefined);
    };
    look().catch(() => {}); // the books' own screen says what ails the store
    return () => void (here = false);
  }, [shelf, property.id]);
  if (!book) return null;
  const { mending, at } = book.pad;
  return (
    <p class="caution">
      {mending && !unrecorded(book)
        ? `You were writing row ${at + 1} of the level book ${book.name} again. The old figure stands until the new one is booked.`
        : `You were writing a level book, ${book.name}, with ${count(book.rows.length, "row", "rows")}. It is kept on this phone and goes to the register when you open it.`}
      <a class="button wide" href={`#/level/${book.id}`}>Go on with it</a>
    </p>
  );
}
