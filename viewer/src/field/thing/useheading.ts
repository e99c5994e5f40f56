import { useEffect, useState } from "preact/hooks";
import { askHeading, headingAsks, watchHeading } from "../place/heading.ts";

/** The phone's heading; ask is there while the phone wants to be asked first, in a tap. */
export function useHeading(): { headingDeg: number | undefined; ask: (() => void) | undefined } {
  const [headingDeg, set] = useState<number>();
  const [mayAsk, setMayAsk] = useState(headingAsks);
  useEffect(() => watchHeading((heading) => set(Math.round(heading.bearingDeg))), []);
  const ask = () => void askHeading().then(() => setMayAsk(false));
  return { headingDeg, ask: mayAsk && headingDeg === undefined ? ask : undefined };
}
