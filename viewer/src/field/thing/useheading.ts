import { useEffect, useState } from "preact/hooks";
import { askHeading, headingAsks, watchHeading } from "../place/heading.ts";

export interface Heading {
  readonly headingDeg: number | undefined;
  readonly offered: boolean; // a phone of the kind that wants to be asked: the same for as long as the screen is open
  readonly ask: (() => void) | undefined; // in a tap; undefined where there is nothing to ask for any more
}

/** The phone's heading; some phones tell it only when they were asked for it in a tap. */
export function useHeading(): Heading {
  const [headingDeg, set] = useState<number>();
  const [offered] = useState(headingAsks);
  const [mayAsk, setMayAsk] = useState(offered);
  useEffect(() => watchHeading((heading) => set(Math.round(heading.bearingDeg))), []);
  const ask = () => void askHeading().then(() => setMayAsk(false));
  return { headingDeg, offered, ask: mayAsk && headingDeg === undefined ? ask : undefined };
}
