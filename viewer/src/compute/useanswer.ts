// Answers of package model for a screen: the newest question wins.

import { useEffect, useRef, useState } from "preact/hooks";
import type { Types } from "./types/index.ts";
import type { Problem } from "../base/problem.ts";
import type { Model } from "./model.ts";

export interface Answered<T> {
  readonly answer: T | undefined;
  readonly problem: Problem | undefined;
}

/** Asks again whenever the input changes, and keeps the answer before until then; undefined asks nothing. */
export function useAnswer<T>(model: Model, name: string, input: unknown): Answered<T> {
  const [answered, set] = useState<Answered<T>>({ answer: undefined, problem: undefined });
  const asked = useRef(0);
  const key = input === undefined ? "" : JSON.stringify(input);
  useEffect(() => {
    const mine = ++asked.current;
    if (input === undefined) return set({ answer: undefined, problem: undefined });
    model.compute<T>(name, input).then(
      (answer) => mine === asked.current && set({ answer, problem: undefined }),
      (problem: Problem) => mine === asked.current && set({ answer: undefined, problem }),
    );
  }, [name, key]);
  return answered;
}

/** What a computation says to an input, once it is there: an answer, or why there is none. */
export interface Asked<Output> {
  readonly output: Output | null;
  readonly refused: Problem | null;
}

const unasked = { output: null, refused: null } as const;

/** The same, without what was answered to another input. */
export function useAsked<Name extends keyof Types>(
  model: Model,
  name: Name,
  input: Types[Name]["input"] | null,
): Asked<Types[Name]["output"]> {
  const [heard, setHeard] = useState<Asked<Types[Name]["output"]> & { readonly to: string }>({ to: "", ...unasked });
  const to = input ? JSON.stringify(input) : "";
  useEffect(() => {
    if (!input) return;
    let here = true;
    model.compute<Types[Name]["output"]>(name, input).then(
      (output) => here && setHeard({ to, output, refused: null }),
      (refused: unknown) => here && setHeard({ to, output: null, refused: refused as Problem }),
    );
    return () => void (here = false);
  }, [name, to, model]);
  return to !== "" && heard.to === to ? heard : unasked;
}
