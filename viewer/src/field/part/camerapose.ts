// Where the phone is and which way it points, kept fresh while a screen is open, so that a
// tap on the shutter has both at once.

import { useEffect, useRef, useState } from "preact/hooks";
import { useField } from "../context/field.ts";
import { askHeading, watchHeading } from "../../sensor/heading.ts";
import { placed } from "../../sensor/fixfields.ts";
import type { Fields } from "../../base/entry.ts";
import type { Fix } from "../../sensor/fix.ts";

export interface Standing {
  readonly fix: Fix | undefined;
  readonly bearingDeg: number | undefined;
  readonly trouble: string;
  /** Both as they are now: the place as fields of an entry. Call it in the tap. */
  now(): { stand: Fields; bearingDeg?: number };
}

const freshMS = 30_000; // beyond this the officer has walked on

export function useStanding(): Standing {
  const { fixes } = useField();
  const [fix, setFix] = useState<Fix | undefined>();
  const [bearing, setBearing] = useState<number | undefined>();
  const [trouble, setTrouble] = useState("");
  const latest = useRef<{ fix?: Fix; heardMS: number; bearingDeg?: number }>({ heardMS: 0 });
  useEffect(() => {
    const stopFixes = fixes.watch((f) => {
      latest.current = { ...latest.current, fix: f, heardMS: performance.now() };
      setFix(f);
      setTrouble("");
    }, setTrouble);
    const stopHeading = watchHeading(({ bearingDeg }) => {
      latest.current = { ...latest.current, bearingDeg };
      setBearing(Math.round(bearingDeg)); // a degree: no redraw for less
    });
    return () => {
      stopFixes();
      stopHeading();
    };
  }, []);
  return {
    fix,
    bearingDeg: bearing,
    trouble,
    now() {
      void askHeading(); // some phones tell no heading until asked in a tap: the next photo has it
      const { fix: known, heardMS, bearingDeg } = latest.current;
      const fresh = known && performance.now() - heardMS < freshMS;
      return { stand: fresh ? placed(known) : {}, ...(bearingDeg === undefined ? {} : { bearingDeg }) };
    },
  };
}
