// The phone's compass and the age of its position, for screens.

import { useEffect, useState } from "preact/hooks";
import { freshMS, steadyMS } from "./age.ts";
import { askHeading, headingAsks, watchHeading } from "./heading.ts";
import type { Fix } from "./fix.ts";

export interface Heading {
  readonly headingDeg: number | undefined;
  readonly offered: boolean; // a phone of the kind that wants to be asked: the same for as long as the screen is open
  readonly ask: (() => void) | undefined; // in a tap; undefined where there is nothing to ask for any more
}

/** The phone's heading, to the nearest so many degrees; some phones tell it only when they were asked for it in a tap. */
export function useHeading(stepDeg = 1): Heading {
  const [headingDeg, set] = useState<number>();
  const [offered] = useState(headingAsks);
  const [mayAsk, setMayAsk] = useState(offered);
  useEffect(() => watchHeading((heading) => set(Math.round(heading.bearingDeg / stepDeg) * stepDeg)), []);
  const ask = () => void askHeading().then(() => setMayAsk(false));
  return { headingDeg, offered, ask: mayAsk && headingDeg === undefined ? ask : undefined };
}

/** How many seconds old a fix is, once it is no longer where the officer stands; 0 before. */
export function useAgeS(fix: Fix | null): number {
  const [, tick] = useState(0);
  const ageMS = fix ? steadyMS() - fix.takenMS : 0;
  useEffect(() => {
    if (!fix) return undefined;
    const timer = setInterval(() => tick((n) => n + 1), 1000);
    return () => clearInterval(timer);
  }, [fix]);
  return ageMS > freshMS ? Math.round(ageMS / 1000) : 0;
}

/** ", 12 s ago" beside how good a fix is, where that matters; "" while it is fresh. */
export const agoWords = (ageS: number): string => (ageS === 0 ? "" : ageS < 90 ? `, ${ageS} s ago` : `, ${Math.round(ageS / 60)} min ago`);
