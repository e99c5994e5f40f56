// When to connect again after a connection ended or did not come about: at a random
// moment, so that the phones that lost a server together do not all come back together.

import type { Later } from "./frames.ts";

const longestWaitMS = 60_000;
const steadyMS = 60_000; // up for that long, the count starts again
const laterAtMostMS = 3_600_000;

// Where the count stands after the server itself went away: all its phones lost it in the
// same instant, and [0, 32 s] keeps them apart. A link that fell silent is one phone's own
// trouble, and begins at 0; when signal returns the page does not wait for the moment.
const crowdCount = 5;

/** How a connection ended. */
export interface Ending {
  readonly upMS: number; // how long it had been up; 0 when it did not come about
  readonly serverGone: boolean; // the other end went, rather than the link between
}

/** Counts the failures. The wait is a random time in [0, min(60 s, 2^k s)]. */
export class Reconnect {
  #k = 0;

  constructor(readonly chance: () => number = Math.random) {}

  ended(how: Ending): void {
    if (how.upMS >= steadyMS) this.#k = 0;
    if (how.serverGone) this.#k = Math.max(this.#k, crowdCount);
  }

  /** How long to wait, in milliseconds. What the server asked for, if anything, comes first. */
  nextMS(later: Later | null): number {
    const most = Math.min(longestWaitMS, 1000 * 2 ** this.#k++);
    if (later) return within(later.afterMS) + this.chance() * within(later.withinMS);
    return this.chance() * most;
  }
}

const within = (ms: number): number => Math.min(Math.max(ms, 0), laterAtMostMS);
