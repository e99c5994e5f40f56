// A level book that has rows which the register does not have yet, because the page was
// closed or killed over it: they are kept, and this says where.

import { count } from "../app/words.ts";
import type { Book } from "./book.ts";
import { unrecorded } from "./book.ts";

export function UnfinishedBook({ book }: { book: Book }) {
  const { mending, at } = book.pad;
  return (
    <p class="caution">
      {mending && !unrecorded(book)
        ? `You were writing row ${at + 1} of the level book ${book.name} again. The old reading counts until the new one is booked.`
        : !unrecorded(book)
        ? `You were keying row ${at + 1} of the level book ${book.name}. What you keyed is kept and not booked yet.`
        : `You were writing a level book, ${book.name}, with ${count(book.rows.length, "row", "rows")}. It is kept on this phone and saved when you open it.`}
      <a class="button wide" href={`#/level/${book.id}`}>Continue</a>
    </p>
  );
}
