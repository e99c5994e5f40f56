// An answer of package model for a screen: the newest question wins.

import { useEffect, useRef, useState } from "preact/hooks";
import { useField, type Problem } from "../field.ts";

export interface Answered<T> {
  readonly answer: T | undefined;
  readonly problem: Problem | undefined;
}

/** Asks again whenever the input changes; undefined asks nothing. */
export function useAnswer<T>(name: string, input: unknown): Answered<T> {
  const { model } = useField();
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
