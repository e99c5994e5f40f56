// What visits found of an item: its newest condition, and each visit in words.

import { fieldNamed } from "../base/kinds.ts";
import { day, capital } from "../base/words.ts";
import { measuredText, type Newest } from "../survey/visit/newest.ts";
import type { PastVisit } from "../survey/visit/visits.ts";

/** "Needs work", large, with the day on which somebody saw it. */
export function Condition({ newest }: { newest: Newest | undefined }) {
  if (!newest?.condition) return newest?.on ? <p class="condition soft">Last visited {day(newest.on)}</p> : null;
  return (
    <p class={`condition ${newest.condition === "needs work" || newest.condition === "failed" ? "bad" : ""}`}>
      <b>{capital(newest.condition)}</b> on {day(newest.conditionOn ?? "")}
    </p>
  );
}

/** "needs work, sediment caught 0.31 m". */
export function visitWords(past: PastVisit, range?: string): string {
  const measured = (["sedimentDepthM", "headOffsetM", "coverPct"] as const).flatMap((name) => {
    const field = fieldNamed("visit", name);
    return past[name] === undefined ? [] : [`${field.label.toLowerCase()} ${measuredText(name, past[name], range)}`];
  });
  return [past.condition, ...measured, past.head ? "position of the head taken" : ""].filter(Boolean).join(", ");
}
