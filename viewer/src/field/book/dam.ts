// What a check dam's own fields say of its height. Pure.

import { numberOf, type Feature } from "../entry.ts";

/** How high it stands or is to stand above its toe: as measured, else as it was pegged. */
export function heightOf(dam: Feature): number | undefined {
  const measured = numberOf(dam, "crestHeightM");
  const toe = numberOf(dam, "toeLevelM"), crest = numberOf(dam, "targetCrestLevelM");
  return measured ?? (toe === undefined || crest === undefined ? undefined : Math.round((crest - toe) * 10000) / 10000);
}
