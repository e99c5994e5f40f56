// What the link tells the officer: the facts, how an event changes them, and the words.
// Pure, and it never says more than is known: only a receipt makes an entry "on the server".

import { device } from "../base/page.ts";
import { clock, count, grouped, sentence, size } from "../base/words.ts";
import type { Counts } from "../storage/store.ts";
import type { Problem } from "../base/problem.ts";

/** How it stands with the server. It never says more than is known. */
export interface SyncState {
  readonly state: "never" | "trying" | "sending" | "quiet" | "no-answer" | "refused";
  readonly lastSent: Date | null; // when the server last acknowledged something, or had nothing to
  readonly clockOffS: number; // this phone's clock less the server's, at the last handshake
  readonly words: string; // for the officer
  readonly loading?: Loading | null; // a property is coming onto this phone for the first time
  readonly stopped?: boolean; // nothing is sent, for a reason that the words tell
}

/** How far the first loading of a property has come: its entries, then its small photos. */
export interface Loading {
  readonly property: string;
  readonly entries: number; // so far
  readonly ofEntries: number | null; // in all; null when the server does not tell
  readonly photos: { readonly got: number; readonly of: number } | null; // null until the entries are here
}

export interface Sync {
  state(): SyncState;
  watch(changed: () => void): () => void;
  sendNow(): void;
}

export interface Facts {
  readonly line: "down" | "trying" | "up";
  readonly enrolled: boolean;
  readonly counts: Counts | null; // null until it has been read
  readonly counting: boolean; // there is more than the tally tells
  readonly fetching: boolean;
  readonly lastSentMS: number | null;
  readonly clockOffS: number;
  readonly refused: Problem | null; // this phone has no rights there
  readonly trouble: Problem | null; // of the phone's store, why there is no line
  readonly untaken: Problem | null; // why the server has not taken something, though there is a line
  readonly unkept: Problem | null; // why what came in could not be kept here
  readonly later: boolean; // the server asked to be left alone for a while
  readonly loading: Loading | null;
}

export type SyncEvent =
  | { readonly did: "changed" }
  | { readonly did: "counts"; readonly counts: Counts | null; readonly enrolled: boolean; readonly old: boolean }
  | { readonly did: "trying" }
  | { readonly did: "welcomed"; readonly clockOffS: number }
  | { readonly did: "acknowledged"; readonly atMS: number }
  | { readonly did: "fetching"; readonly loading: Loading | null }
  | { readonly did: "fetched" }
  | { readonly did: "trouble"; readonly untaken: Problem | null; readonly unkept: Problem | null }
  | { readonly did: "lost"; readonly later: boolean; readonly trouble: Problem | null }
  | { readonly did: "refused"; readonly problem: Problem };

export function begin(remembered: { lastSentMS: number | null; clockOffS: number }): Facts {
  return {
    line: "down",
    enrolled: false,
    counts: null,
    counting: false,
    fetching: false,
    refused: null,
    trouble: null,
    untaken: null,
    unkept: null,
    later: false,
    loading: null,
    ...remembered,
  };
}

export function next(facts: Facts, event: SyncEvent): Facts {
  switch (event.did) {
    case "changed":
      return { ...facts, counting: true };
    case "counts":
      return { ...facts, counts: event.counts, enrolled: event.enrolled, counting: event.old };
    case "trying":
      return { ...facts, line: "trying", later: false };
    case "welcomed": // from here until all is compared, nothing is known to be complete
      return {
        ...facts,
        line: "up",
        clockOffS: event.clockOffS,
        fetching: true,
        refused: null,
        trouble: null,
        untaken: null,
        unkept: null,
      };
    case "acknowledged":
      return { ...facts, lastSentMS: event.atMS };
    case "fetching":
      return { ...facts, fetching: true, loading: event.loading };
    case "fetched":
      return { ...facts, fetching: false, loading: null };
    case "trouble":
      return { ...facts, untaken: event.untaken, unkept: event.unkept };
    case "lost":
      return { ...facts, line: "down", fetching: false, later: event.later, trouble: event.trouble };
    case "refused":
      return { ...facts, line: "down", fetching: false, loading: null, refused: event.problem };
  }
}

/** Whether there is anything that the server has not acknowledged. */
export const nothingWaits = (counts: Counts | null): boolean => counts !== null && counts.unsent === 0 && counts.photosUnsent === 0;

export function linkState(facts: Facts, now: Date): SyncState {
  const lastSent = facts.lastSentMS === null ? null : new Date(facts.lastSentMS);
  return {
    state: stateOf(facts),
    lastSent,
    clockOffS: facts.clockOffS,
    words: wordsOf(facts, lastSent, now),
    loading: facts.loading,
    stopped: facts.trouble !== null,
  };
}

function stateOf(facts: Facts): SyncState["state"] {
  if (facts.refused) return "refused";
  if (facts.line === "trying") return "trying";
  if (facts.line === "down") return facts.lastSentMS === null ? "never" : "no-answer";
  if (facts.untaken) return "no-answer";
  return nothingWaits(facts.counts) && !facts.counting && !facts.fetching ? "quiet" : "sending";
}

function wordsOf(facts: Facts, lastSent: Date | null, now: Date): string {
  if (!facts.enrolled) return `This ${device} is not enrolled.`;
  const last = lastSent ? `Last contact ${clock(lastSent, now)}.` : "No contact with the server yet.";
  const unsent = unsentWords(facts.counts);
  const allSent = nothingWaits(facts.counts) && !facts.counting ? "Everything recorded here is sent" : "";
  if (facts.refused) return sentences(`The server refuses this ${device}`, told(facts.refused), unsent ? kept(unsent) : allSent, last);
  switch (stateOf(facts)) {
    case "quiet":
      return sentences(
        allSent,
        lastSent ? `Last contact ${clock(lastSent, now)}` : "",
        facts.unkept ? "What others recorded could not be loaded" : "",
        facts.unkept ? told(facts.unkept) : "",
      );
    case "sending":
      if (facts.loading) return sentences(loadingWords(facts.loading), unsent && `${unsent} not sent yet`);
      if (unsent) return sentences(`Sending: ${unsent} not sent yet`, "Keep this page open", last);
      return facts.counting ? "Counting what was recorded." : "Fetching what others recorded.";
    case "trying":
      return sentences("Looking for the server", unsent && `${unsent} not sent yet`, last);
    default:
      if (facts.untaken && facts.line === "up")
        return sentences("The server has not accepted everything", told(facts.untaken), unsent && `${unsent} not sent yet`, last);
      if (facts.trouble) return sentences(told(facts.trouble), unsent && `${unsent} not sent yet`, last);
      return sentences(
        facts.later ? "The server asked to wait a moment" : "No answer from the server",
        unsent ? `${unsent} not sent yet` : allSent,
        last,
      );
  }
}

/** "12 entries and 3 photos (1.8 MB)"; "" when nothing waits or nothing is known. */
export function unsentWords(counts: Counts | null): string {
  if (!counts) return "";
  const parts = [];
  if (counts.unsent > 0) parts.push(count(counts.unsent, "entry", "entries"));
  if (counts.photosUnsent > 0) parts.push(`${count(counts.photosUnsent, "photo", "photos")} (${size(counts.photoBytesUnsent)})`);
  return parts.join(" and ");
}

const kept = (unsent: string): string =>
  `${unsent} not sent yet: nothing is lost, it stays on this ${device}. Save it to a file and give that to the office`;

function loadingWords(loading: Loading): string {
  if (loading.photos !== null) return `Loading photos: ${loading.photos.got} of ${loading.photos.of}`;
  if (loading.ofEntries !== null) return `Loading: ${grouped(loading.entries)} of ${grouped(loading.ofEntries)} entries`;
  return `Loading: ${grouped(loading.entries)} entries so far`;
}

const told = (problem: Problem): string => sentences(problem.reason, problem.fix ?? "");

const sentences = (...parts: readonly string[]): string => parts.filter(Boolean).map(sentence).join(" ");
