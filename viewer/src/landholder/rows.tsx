// A long list shows its first rows, and more of them at a press: a browser is slow with tens of
// thousands.

import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { number } from "./words.ts";

interface Rows<Row> {
  readonly rows: readonly Row[];
  /** The button that shows more, if there are. */
  readonly more: ComponentChildren;
}

/** The first so many of a list, and the one that is chosen. */
export function useRows<Row>(all: readonly Row[], atOnce: number, isChosen?: (row: Row) => boolean): Rows<Row> {
  const [upTo, setUpTo] = useState(atOnce);
  const first = all.slice(0, upTo);
  const chosen = isChosen && all.slice(upTo).find(isChosen);
  const rest = all.length - upTo;
  const next = Math.min(rest, Math.max(atOnce, upTo));
  return {
    rows: chosen ? [...first, chosen] : first,
    more: rest > 0 && (
      <button type="button" class="more noprint" onClick={() => setUpTo(upTo + next)}>
        Show {number(next, 0)} more{next < rest ? ` of ${number(rest, 0)}` : ""}
      </button>
    ),
  };
}
