// What the next peg saves besides its reading, said before it is pressed: nothing goes into
// an entry that was not on the screen.

import { accuracyWords, day, dayOf } from "../app/words.ts";
import type { Fix } from "../field.ts";

interface SavesProps {
  readonly what: string; // "Dam 4 as pegged": its day follows
  readonly more?: readonly (string | undefined | false)[];
  readonly fix: Fix | null;
}

export function Saves({ what, more = [], fix }: SavesProps) {
  const place = fix ? `at your position ${accuracyWords(fix.accuracyM)} by GPS` : "without a position";
  return <p class="soft note saves">Peg saves {[`${what} on ${day(dayOf(new Date()))}`, ...more, place].filter(Boolean).join(", ")}.</p>;
}
