// Lines that were begun and not saved, when the page was left, closed or killed.

import { kindNamed } from "../app/kinds.ts";
import { count } from "../app/words.ts";
import type { BegunLine } from "./keep.ts";

export function UnfinishedLine({ line: { kind, shape, positions } }: { line: BegunLine }) {
  const label = kindNamed(kind).label.toLowerCase();
  return (
    <p class="caution">
      {/^[aeiou]/.test(label) ? "An" : "A"} {label} of {count(positions, "point", "points")} is not saved yet.
      <a class="button wide" href={`#/line/${kind}/${shape}`}>Continue the {label}</a>
    </p>
  );
}
