// Why a connection ended or something was not taken.

import { device } from "../base/page.ts";
import { StorageError } from "../storage/store.ts";
import type { Problem } from "../base/problem.ts";
import type { Told } from "./frames.ts";

/** The link failed: it fell silent, was closed, or never came about. */
export class ConnectionLost extends Error {
  constructor(
    message: string,
    readonly serverGone: boolean,
  ) {
    super(message);
  }
}

/** The server told why it did not take something; later: it may take the same after a while. */
export class Refusal extends Error {
  constructor(
    readonly problem: Problem,
    readonly closing: boolean,
    readonly later = false,
  ) {
    super([problem.path, problem.reason].filter(Boolean).join(": "));
  }

  /** This phone has no rights here any more, and trying again does not help. */
  get forGood(): boolean {
    return this.closing && (this.problem.path === "token" || this.problem.path === "device");
  }
}

/** The server never takes these bytes: they are not sent again until the officer asks for it. */
export class NeverTaken extends Refusal {
  constructor(problem: Problem) {
    super(problem, false);
  }
}

export const refusal = (told: Told): Refusal =>
  new Refusal({ ...told.problem, reason: told.problem.reason ?? "the server did not say why" }, told.closing);

/** Another phone writes under this phone's id, as after a phone was copied from a backup. */
export const cloned = (): Refusal =>
  new Refusal(
    {
      path: "device",
      reason: `another phone records under this ${device}'s device number`,
      fix: `enrol this ${device} with a new code from the office: it gets a number of its own, and all that is not sent yet is sent`,
    },
    true,
  );

/** Anything that went wrong, in words; null stays null. */
export function problemOf(e: unknown): Problem | null {
  if (e === null || e === undefined) return null;
  if (e instanceof Refusal) return e.problem;
  if (e instanceof StorageError) return { reason: e.message, fix: e.todo };
  if (e instanceof Error) return { reason: e.message };
  if (typeof e === "object" && "reason" in e && typeof e.reason === "string") return e as Problem;
  return { reason: String(e) };
}
