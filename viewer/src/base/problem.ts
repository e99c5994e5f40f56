// The model's sentences as a screen says them: it names its fields as files and the command
// line do, and an officer has never seen those names. Pure.

import { sentence } from "./words.ts";

/** Why a computation or the server refused something, as model.Problem has it: the same words at every entry point. */
export interface Problem {
  readonly file?: string;
  readonly line?: number;
  readonly path?: string; // "bed[3].levelM"
  readonly reason: string;
  readonly fix?: string;
}

/** Fields whose name, read as words, would not say what is meant. */
const spoken: { readonly [field: string]: string } = {
  staffLengthM: "the length of the staff",
  fromM: "the first chainage",
  toM: "the last chainage",
  maxBedSlopePct: "the steepest bed allowed",
};

/** Units that end the names of fields, longest first. */
const units = /(?:MmH|M3S|MS|KgHa|TM3|PerYear|M2|M3|Mm|Pct|Ha|Deg|Min|M|S|H|N)$/;

/** A name as files write it: small letters, then a capital. "pH" and "mAHD" are words of the trade. */
const name = /\b[a-z]{2,}[A-Z][A-Za-z0-9]*\b/g;

/** One of a list, counted from nought: "visits[0]". */
const oneOf = /\b([a-z]\w*?)s?\[(\d+)\](?:\.(?=\w))?/g;

/** A sentence with its fields named in words: "chainageM" is "chainage", "visits[0]" is "visit 1". */
export const plain = (sentence: string): string =>
  sentence
    .replace(oneOf, (all: string, of: string, n: string) => `${of} ${Number(n) + 1}${all.endsWith(".") ? ", " : ""}`)
    .replace(name, (field) => spoken[field] ?? field.replace(units, "").replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`));

/** A refusal for a screen; its path is still that of the model, to find the row or the box. */
export const plainProblem = (problem: Problem): Problem => ({
  ...problem,
  reason: plain(problem.reason),
  ...(problem.fix === undefined ? {} : { fix: / --[a-z]/.test(problem.fix) ? "" : plain(problem.fix) }), // a command's options help nobody here
});

/** What is wrong, and what to do. */
export function inWords({ path, reason, fix }: Problem): string {
  return sentence([path === "track" ? `the track ${reason}` : reason, fix].filter(Boolean).join(": "));
}
