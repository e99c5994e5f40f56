// Answers of package model for a screen.

import { useEffect, useState } from "preact/hooks";
import type { Types } from "./types/index.ts";
import type { Problem } from "../base/problem.ts";
import type { Model } from "./model.ts";

/** What a computation says to an input, once it is there: an answer, or why there is none. */
export interface Asked<Output> {
  readonly output?: Output;
  readonly refused?: Problem;
}

/** An answer, and the input that it is to. */
type Heard<Output> = Asked<Output> & { readonly to: string };

const unasked: Heard<never> = { to: "" };

/** Asks again whenever the input changes; nothing is asked without one. keeps: the answer to the input before stays until then. */
export function useAsked<Name extends keyof Types>(
  model: Model,
  name: Name,
  input: Types[Name]["input"] | null | undefined,
  keeps = false,
): Asked<Types[Name]["output"]> {
  const [heard, hear] = useState<Heard<Types[Name]["output"]>>(unasked);
  const to = input ? JSON.stringify(input) : "";
  useEffect(() => {
    if (!input) return hear(unasked);
    let here = true;
    model.compute<Types[Name]["output"]>(name, input).then(
      (output) => here && hear({ to, output }),
      (refused: Problem) => here && hear({ to, refused }),
    );
    return () => void (here = false);
  }, [name, to, model]);
  return keeps || heard.to === to ? heard : unasked;
}
