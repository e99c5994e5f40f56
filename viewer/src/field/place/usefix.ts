// The receiver for screens: where the officer stands now, while the screen is open.

import { useEffect, useState } from "preact/hooks";
import type { Fix } from "../field.ts";
import { useField } from "../field.ts";
import { freshMS, steadyMS } from "./age.ts";
import { watchHeading } from "./heading.ts";

/** The newest fix, and why there is none. */
export function useFix(): { fix: Fix | null; trouble: string } {
  const { fixes } = useField();
  const [now, set] = useState<{ fix: Fix | null; trouble: string }>({ fix: null, trouble: "" });
  useEffect(() => fixes.watch(
    (fix) => set({ fix, trouble: "" }),
    (trouble) => set((was) => ({ ...was, trouble })),
  ), [fixes]);
  return now;
}

/** The bearing the phone points to, to the nearest 2 degrees; undefined without a compass. */
export function useHeading(): number | undefined {
  const [bearingDeg, set] = useState<number>();
  useEffect(() => watchHeading((heading) => set((Math.round(heading.bearingDeg / 2) * 2) % 360)), []);
  return bearingDeg;
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
