// The fields of an item as they are read.

import type { Feature } from "../base/entry.ts";
import { unbroken } from "../base/number.ts";
import type { Sheet } from "../compute/sheets.ts";
import { factsOf } from "../survey/item/facts.ts";
import type { CoverRanges } from "../survey/visit/cover.ts";
import type { Newest } from "../survey/visit/newest.ts";

interface FactsProps {
  readonly feature: Feature;
  readonly features: readonly Feature[]; // of its property
  readonly newest: Newest | undefined;
  readonly ranges: CoverRanges | undefined;
  readonly sheet: Sheet | undefined; // what stands among its figures is not said twice
}

export function Facts({ feature, features, newest, ranges, sheet }: FactsProps) {
  const facts = factsOf(feature, features, newest, ranges, sheet);
  if (facts.length === 0) return null;
  return (
    <dl class="facts">
      {facts.map((f) => (
        <div key={f.name}>
          <dt>{f.label}</dt>
          <dd>
            {unbroken(f.text)}
            {f.clash && " (in doubt)"}
          </dd>
        </div>
      ))}
    </dl>
  );
}
