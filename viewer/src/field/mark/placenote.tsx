// How good the position is, in words, while it is being averaged.

import { accuracyWords, count } from "../app/words.ts";
import { Button } from "../kit/button.tsx";
import { Caution } from "../kit/part.tsx";
import { isRough } from "../place/fixes.ts";
import { worthOf } from "./position.ts";
import type { Averaging } from "./useplacing.ts";

export function PlaceNote({ placing, trouble, takeAnyway }: Averaging) {
  const { mean, stored, anyway, left } = placing;
  const worth = worthOf(mean);
  if (!mean) {
    return trouble ? (
      <Caution>
        No position: {trouble} It is saved without a place, which can be given later.
        {isRough(trouble) && !anyway && <Button press={takeAnyway} wide>Take it all the same</Button>}
      </Caution>
    ) : (
      <p class="place">Looking for the position…</p>
    );
  }
  const good = `${accuracyWords(mean.accuracyM)}`;
  return (
    <>
      <p class="place">
        <b class="big">{good}</b> <span class="soft">mean of {count(mean.count, "fix", "fixes")}{left ? ", as it was before you moved on" : stored ? ", still getting better while this is open" : ""}</span>
      </p>
      {worth === "none" && <Caution>This position is too rough to be one. It is saved without a place, which can be given later.</Caution>}
      {worth === "poor" && <Caution>This position is poor. Wait here under open sky, or note a tape from something that is marked.</Caution>}
      {worth === "refused" && !anyway && (
        <Caution>
          This position is too rough to store. Wait under open sky, or see that the browser may use the precise position.
          <Button press={takeAnyway} wide>Store it all the same</Button>
        </Caution>
      )}
    </>
  );
}
