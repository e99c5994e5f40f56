// What went wrong, in words for the officer, of anything that was thrown.

import { ShelfTrouble } from "../shelf.ts";

export interface Told {
  readonly what: string;
  readonly todo: string;
}

export function troubleOf(error: unknown): Told {
  if (error instanceof ShelfTrouble) return { what: error.message, todo: error.todo };
  const problem = error as { reason?: unknown; fix?: unknown } | null;
  if (typeof problem?.reason === "string") return { what: problem.reason, todo: typeof problem.fix === "string" ? problem.fix : "" };
  return { what: "It could not be saved.", todo: `What you typed is still here. Try again. (${String(error)})` };
}

/** Why a form was not saved, as the page says it. */
export const notSaved = (why: string): string => `Not saved: ${why.charAt(0).toLowerCase()}${why.slice(1)}`;
