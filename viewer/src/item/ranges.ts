// The ranges of cover that was counted at saved visits, calculated from what was counted.

import { useState } from "preact/hooks";
import type { Feature } from "../base/entry.ts";
import type { Model } from "../compute/model.ts";
import { coverWords, noRanges, recounted, type Cover, type CoverRanges } from "../survey/visit/cover.ts";
import { useAsking } from "../ui/hooks.ts";

/** undefined until they are there; without those that cannot be calculated. */
export function useCoverRanges(model: Model, visits: readonly Feature[]): CoverRanges | undefined {
  const asked = visits.flatMap((v) => {
    const input = recounted(v);
    return input ? [{ id: v.id, input }] : [];
  });
  const key = JSON.stringify(asked);
  const [found, set] = useState<{ readonly key: string; readonly ranges: CoverRanges }>({ key: "[]", ranges: noRanges });
  useAsking(
    () =>
      Promise.allSettled(asked.map(async ({ id, input }) => [id, coverWords(await model.compute<Cover>("cover", input)).limits] as const)),
    [key],
    (all) => set({ key, ranges: new Map(all.flatMap((a) => (a.status === "fulfilled" ? [a.value] : []))) }),
  );
  return found.key === key ? found.ranges : undefined;
}
