// The receiver for screens: where the officer stands now, while the screen is open.

import { useEffect, useState } from "preact/hooks";
import type { Fix } from "../field.ts";
import { useField } from "../field.ts";
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
