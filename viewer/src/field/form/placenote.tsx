// How good the position is, in words, while it is being averaged.

import { accuracyWords, count, distance } from "../../base/words.ts";
import { Button } from "../../ui/button.tsx";
import { Caution } from "../../ui/panel.tsx";
import { agoWords, useAgeS } from "../../sensor/hooks.ts";
import { isRough } from "../../sensor/receiver.ts";
import { worthOf } from "../../survey/form/position.ts";
import type { Averaging } from "./useplacing.ts";

export function PlaceNote({ placing, trouble, takeAnyway }: Averaging) {
  const { mean, stored, anyway, left, jumpedM } = placing;
  const worth = worthOf(mean);
  const ago = agoWords(useAgeS(stored === null ? mean : null)); // a position that is saved keeps its time
  if (!mean) {
    return trouble ? (
      <Caution>
        No position: {trouble} It is saved without one, which can be added later.
        {isRough(trouble) && !anyway && (
          <Button press={takeAnyway} wide>
            Save anyway
          </Button>
        )}
      </Caution>
    ) : (
      <p class="place">Waiting for GPS…</p>
    );
  }
  const good = `${accuracyWords(mean.accuracyM)}`;
  return (
    <>
      <p class="place">
        <b class="big">{good}</b>{" "}
        <span class="soft">
          mean of {count(mean.count, "fix", "fixes")}
          {ago}
          {left ? ", as it was before you moved on" : stored ? ", still getting better while this is open" : ""}
          {mean.heightM === undefined ? "" : `; GPS height ${Math.round(mean.heightM)} m, a label only`}
        </span>
      </p>
      {jumpedM !== null && (
        <Caution>GPS jumped {distance(jumpedM)} after this was saved. It is now where GPS has it since: check it on the map.</Caution>
      )}
      {worth === "none" && <Caution>GPS is too poor to save a position. It is saved without one, which can be added later.</Caution>}
      {worth === "poor" && (
        <Caution>GPS is poor. Wait here under open sky, or note a taped distance from something already marked.</Caution>
      )}
      {worth === "refused" && !anyway && (
        <Caution>
          GPS is too poor to save a position. Wait under open sky, or allow precise location in the browser's settings.
          <Button press={takeAnyway} wide>
            Save anyway
          </Button>
        </Caution>
      )}
    </>
  );
}
