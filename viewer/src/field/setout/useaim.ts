// What to read for a level, and what was read told as a way to go: answers of staff-reading.

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Types } from "../../compute/types/index.ts";
import { useField } from "../context/field.ts";
import { askReading, wantedReading } from "../../survey/setout/guide.ts";
import { inWords, type Problem } from "../../base/problem.ts";
import type { Fix } from "../../sensor/fix.ts";

export interface Aim {
  readonly wantedM: number | undefined; // on the staff there is
  readonly offM: number | undefined; // above the level wanted; minus is below
  readonly levelM: number | undefined; // where the staff stands
  readonly wrong: string;
}

const noAim: Aim = { wantedM: undefined, offM: undefined, levelM: undefined, wrong: "" };

/** With no target only the level of what was read is worked out. */
export function useAim(sightM: number | undefined, targetM: number | undefined, read: number | undefined, direct: boolean): Aim {
  const { model } = useField();
  const [aim, setAim] = useState<Aim>(noAim);
  const asked = useRef(0);
  useLayoutEffect(() => {
    // before the drawing: the answer is wanted at once
    const mine = ++asked.current;
    const show = (a: Aim) => mine === asked.current && setAim(a);
    if (sightM === undefined || (targetM === undefined && read === undefined)) return void show(noAim);
    model.compute<Types["staff-reading"]["output"]>("staff-reading", askReading(sightM, targetM ?? sightM, read, direct)).then(
      (answer) =>
        show({
          wantedM: targetM === undefined ? undefined : wantedReading(answer, direct),
          offM: targetM === undefined ? undefined : answer.offM,
          levelM: answer.levelM,
          wrong: "",
        }),
      (problem: unknown) => show({ ...noAim, wrong: inWords(problem as Problem) }),
    );
  }, [sightM, targetM, read, direct, model]);
  return aim;
}

/** Where the officer stands, or stood when she read the staff. */
export interface Standing {
  readonly fix: Fix | null; // null while there is none
  readonly left: boolean; // she has gone on since the staff was read
  readonly now: Fix | null; // where she is
  readonly settling: boolean; // the newest fixes lie elsewhere than fix: those that follow decide which counts
}

/**
 * The mean position where the staff was read: it grows better while the officer stays, and
 * stays as it was at the last key of the reading when she walks on. Begins again at each peg.
 */
export function usePosition(pegs: number, reading: string): Standing {
  const { fixes } = useField();
  const [now, setNow] = useState<Fix | null>(null);
  const [read, setRead] = useState<Fix | null>(null);
  const newest = useRef<Fix | null>(null);
  newest.current = now;
  useEffect(() => {
    setNow(null);
    const heard = (mean: Fix) => {
      setNow(mean);
      setRead((was) => (was && mean.jumped && mean.stand === was.stand! + 1 ? mean : was)); // she stands where she stood
    };
    return fixes.average(heard, () => {}); // the status strip says what ails the receiver
  }, [pegs, fixes]);
  useEffect(() => setRead(reading === "" ? null : newest.current), [reading]);
  const left = read !== null && now !== null && now.stand !== read.stand;
  return { fix: left ? read : now, left, now, settling: !left && now?.unsure === true };
}
