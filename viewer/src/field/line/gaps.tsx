// What was not recorded, piece by piece, each to be joined only when the officer says so.

import { Button } from "../../ui/button.tsx";
import { metresBetween } from "../../base/plane.ts";
import type { Recording } from "../../survey/line/recording.ts";
import { gapWords } from "../../survey/line/finished.ts";

export function Gaps({ recording, join }: { recording: Recording; join: (gap: number) => void }) {
  if (!recording.gaps.length) return null;
  return (
    <ul class="gaps" aria-label="Gaps in the line">
      {recording.gaps.map((gap, i) => {
        const from = recording.pieces[i]!,
          to = recording.pieces[i + 1]!;
        const apartM = from.length && to.length ? metresBetween(from[from.length - 1]!, to[0]!) : 0;
        const split = gap.why === "split";
        return (
          <li key={`${gap.fromMS} ${i}`}>
            <p>{split ? `Split here into lines ${i + 1} and ${i + 2}.` : gapWords(gap, apartM)}</p>
            <Button press={() => join(i)} label={split ? `Join lines ${i + 1} and ${i + 2} again` : `Join straight across gap ${i + 1}`}>
              {split ? "Join again" : "Join straight"}
            </Button>
          </li>
        );
      })}
    </ul>
  );
}
