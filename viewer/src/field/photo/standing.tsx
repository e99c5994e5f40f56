// Where the phone is and which way it points, in words beside the shutter.

import { accuracyWords, compass } from "../../base/words.ts";
import { roughWords } from "../../sensor/receiver.ts";
import type { Standing } from "../part/camerapose.ts";

/** What the next photo will know of its place and direction. It has room for the longest of these words from the start. */
export function StandingWords({ standing, busy }: { standing: Standing; busy: string }) {
  const { fix, trouble, bearingDeg } = standing;
  const way = bearingDeg === undefined ? "no compass" : lookingWords(bearingDeg);
  return (
    <div class="posewords soft">
      {busy ? (
        <p role="status">{busy}</p>
      ) : (
        <p>{fix ? `Position ${accuracyWords(fix.accuracyM)}; ${way}.` : placelessWords(trouble, way)}</p>
      )}
      <p class="room" aria-hidden="true">
        {placelessWords(roughWords(2500), "")}
      </p>
    </div>
  );
}

const lookingWords = (bearingDeg: number) => `looking ${compass(bearingDeg)}, ${bearingDeg}°`;
const placelessWords = (trouble: string, way: string) =>
  trouble ? `${trouble} Photos are saved without a position.` : `No position yet: photos are saved without one; ${way}.`;
