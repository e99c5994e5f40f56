// What to read for a level, and what was read told as a way to go: answers of staff-reading.

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Types } from "../../../wasm/types.ts";
import type { Fix, Problem } from "../field.ts";
import { useField } from "../field.ts";
import { askReading, wantedReading } from "./guide.ts";

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
  useLayoutEffect(() => { // before the drawing: the answer is wanted at once
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
      (problem: unknown) => show({ ...noAim, wrong: `${capital((problem as Problem).reason)}${(problem as Problem).fix ? `: ${(problem as Problem).fix}` : ""}.` }),
    );
  }, [sightM, targetM, read, direct, model]);
  return aim;
}

const capital = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1);

/** The mean position since the last peg was saved; null while there is none. */
export function usePosition(pegs: number): Fix | null {
  const { fixes } = useField();
  const [fix, setFix] = useState<Fix | null>(null);
  useEffect(() => {
    setFix(null);
    return fixes.average(setFix, () => {}); // the status strip says what ails the receiver
  }, [pegs, fixes]);
  return fix;
}

/** A computation's answer for an input, once it is there; null without one. */
export function useAnswer<Name extends keyof Types>(name: Name, input: Types[Name]["input"] | null): Types[Name]["output"] | null {
  const { model } = useField();
  const [answer, setAnswer] = useState<{ readonly to: string; readonly output: Types[Name]["output"] | null }>({ to: "", output: null });
  const to = input ? JSON.stringify(input) : "";
  useEffect(() => {
    if (!input) return;
    let here = true;
    model.compute<Types[Name]["output"]>(name, input).then(
      (output) => here && setAnswer({ to, output }),
      () => here && setAnswer({ to, output: null }), // no advice; what is read can be pegged all the same
    );
    return () => void (here = false);
  }, [name, to, model]);
  return answer.to === to ? answer.output : null;
}
