// What can be wrong with the store, in the officer's words.

import { device } from "../base/page.ts";
import { StorageError } from "./store.ts";

export const gone = () =>
  new StorageError(
    "gone",
    `The entries of this ${device} are no longer in the browser: it has removed them, or they were cleared.`,
    `What was sent is on the server. Enrol this ${device} with a new code, and tell the office what is missing.`,
  );

export const behind = () =>
  new StorageError(
    "behind",
    `The browser has gone back to an older copy of this ${device}'s entries: the newest are missing.`,
    `Save what is here to a file, then enrol this ${device} with a new code. Nothing here is lost by that.`,
  );

export const damaged = (why: unknown) =>
  new StorageError(
    "damaged",
    `The browser cannot open this ${device}'s entries: ${said(why)}`,
    `Close the browser, restart the ${device} and open this page again. Clear nothing: they may still be readable.`,
  );

export const closed = (why: unknown) =>
  new StorageError("closed", `The browser has closed the store: ${said(why)}`, "What you typed is still here: press save again.");

export const outdated = () =>
  new StorageError("closed", "A newer version of this page is open.", "Load this page again. Everything saved is kept.");

export const otherTab = () =>
  new StorageError(
    "other-tab",
    "This page is open twice, and the other one records.",
    "Continue in the other one, or close it: then this one records.",
  );

export const notEnrolled = () =>
  new StorageError("not-enrolled", `This ${device} is not enrolled.`, "Enrol it with a code from the office.");

export const full = () =>
  new StorageError(
    "full",
    `The ${device}'s storage is full: this was not saved.`,
    `Free some storage on the ${device}, or send what is not sent yet, then press save again.`,
  );

export const fullForPhotos = () =>
  new StorageError(
    "full",
    `There is no more room for photos on the ${device}: this one was not saved.`,
    `Continue without photos: room is kept for entries. Free some storage on the ${device}, or send the photos.`,
  );

export const invalid = (what: string, todo: string) => new StorageError("invalid", what, todo);

export const isFull = (e: unknown): boolean => named(e, "QuotaExceededError");

/** Whether the connection to the database, and not what was asked of it, is at fault. */
export const isLost = (e: unknown): boolean => named(e, "InvalidStateError", "UnknownError", "AbortError", "TimeoutError");

export function named(e: unknown, ...names: string[]): boolean {
  return e instanceof Error && names.includes(e.name);
}

/** Any error as trouble. What the computations refuse, as when they are not here yet, keeps its own words. */
export function storageErrorOf(e: unknown): StorageError {
  if (e instanceof StorageError) return e;
  const problem = problemIn(e);
  if (problem) return new StorageError("closed", problem.what, problem.todo);
  if (isFull(e)) return full();
  if (named(e, "VersionError")) return outdated();
  return closed(e);
}

function said(why: unknown): string {
  if (!(why instanceof Error)) return String(why);
  return why.message || why.name;
}

export interface Told {
  readonly what: string;
  readonly todo: string;
}

export function troubleOf(error: unknown): Told {
  if (error instanceof StorageError) return { what: error.message, todo: error.todo };
  return problemIn(error) ?? { what: "It could not be saved.", todo: `What you typed is still here. Try again. (${String(error)})` };
}

function problemIn(error: unknown): Told | undefined {
  const problem = error as { reason?: unknown; fix?: unknown } | null | undefined;
  if (typeof problem?.reason !== "string") return undefined;
  return { what: problem.reason, todo: typeof problem.fix === "string" ? problem.fix : "" };
}

/** Why a form was not saved, as the page says it. */
export const notSaved = (why: string): string => `Not saved: ${why.charAt(0).toLowerCase()}${why.slice(1)}`;
