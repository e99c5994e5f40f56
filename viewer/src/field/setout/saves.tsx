// What the next peg saves besides its reading, said right above the keys that save it:
// nothing goes into an entry that was not in sight.

import type { Fix } from "../field.ts";
import { accuracyWords } from "../app/words.ts";

interface SavesProps {
  readonly word: string; // on the key
  readonly what: string; // "Dam 4 as pegged today"
  readonly more?: readonly (string | undefined | false)[];
  readonly fix?: Fix | null; // where the peg would be marked; undefined when none is
}

export function Saves({ word, what, more = [], fix }: SavesProps) {
  const place = fix === undefined ? "" : fix ? `GPS ${accuracyWords(fix.accuracyM)}` : "no position";
  return <p class="saves"><b>{word}</b> saves {[what, ...more, place].filter(Boolean).join(", ")}.</p>;
}
