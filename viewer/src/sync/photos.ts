// Sends the photos, after the entries that name them. Two at a time: while one waits for
// the server's answer the other fills the line.

import type { Outbox, StoredPhoto } from "../storage/store.ts";
import { type PartSize, sendPhoto, type PhotoUpload } from "./photoparts.ts";
import { NeverTaken, Refusal } from "./errors.ts";

const atOnce = 2;
const againMS = 5_000; // after the line broke a photo off, doubled with each time
const stuckAfter = 3; // times in a row: it is not the line alone, which carries the entries
const stuck = new Refusal(
  { reason: "photos do not get through to the server", fix: "Keep this page open: they are tried again and again. Or save them to a file" },
  false,
);

export interface PhotoSending {
  readonly origin: string;
  readonly token: string;
  readonly outbox: Outbox;
  first(): Promise<unknown>; // entries go first
  sent(): void; // the server has another photo
  broke(): void; // the line broke one off: it may be dead
  refused(why: Refusal): void; // this phone has no rights any more
  changed(): void; // it has come to an end
}

export class Photos {
  /** Being sent now. */
  busy = 0;
  /** Why photos do not go: of one that was not taken, or that none gets through. */
  get complaint(): Refusal | null {
    return [...this.never.values(), ...this.#refused.values()].pop() ?? (this.#stuck ? stuck : null);
  }

  readonly #part: PartSize;
  readonly #stop = new AbortController();
  readonly #given = new Set<string>(); // in hand, or not to be tried again on this connection
  readonly #refused = new Map<string, Refusal>(); // by photo; those that wait are tried again
  #stuck = false;
  #fails = 0;
  #did = false; // something was tried since the last time of rest
  #again: ReturnType<typeof setTimeout> | undefined;

  /** part and never live longer than a connection: what the line carries is known from the last, and
   * what the server will not have, by photo, is not sent to it again. */
  constructor(
    readonly how: PhotoSending,
    part: PartSize,
    readonly never: Map<string, NeverTaken>,
  ) {
    this.#part = part;
    for (const sha of never.keys()) this.#given.add(sha);
  }

  /** Sends what waits, as far as it is not being sent already. */
  goOn(): void {
    if (this.#again !== undefined) return;
    while (this.busy < atOnce) {
      this.busy++;
      void this.#work().finally(() => {
        this.busy--;
        if (this.busy > 0 || !this.#did) return;
        this.#did = false;
        this.how.changed();
      });
    }
  }

  /** Tries again what the server had no room for. */
  tryAgain(): void {
    for (const [sha, why] of this.#refused) if (why.later) this.#given.delete(sha);
  }

  /** Does not wait any longer with what was broken off: somebody asks for it. */
  hurry(): void {
    this.tryAgain();
    clearTimeout(this.#again);
    this.#again = undefined;
    this.goOn();
  }

  /** Sends also what the server would not have: the officer asks for it. */
  sendAll(): void {
    for (const sha of this.never.keys()) this.#given.delete(sha);
    this.never.clear();
  }

  stop(): void {
    clearTimeout(this.#again);
    this.#stop.abort();
  }

  async #work(): Promise<void> {
    for (;;) {
      if (this.#stop.signal.aborted || this.#again !== undefined) return;
      const next = await this.#next();
      if (!next) return;
      this.#did = true;
      try {
        const upload: PhotoUpload = {
          origin: this.how.origin,
          token: this.how.token,
          part: this.#part,
          signal: this.#stop.signal,
          first: () => this.how.first(),
        };
        await sendPhoto(upload, next.sha, await next.bytes());
        await this.how.outbox.photoSent(next.sha);
        this.#given.delete(next.sha); // it waits again when the server turns out to have lost it
        this.#refused.delete(next.sha);
        this.#fails = 0;
        this.#stuck = false;
        this.how.sent();
      } catch (e) {
        this.#failed(next.sha, e);
      }
    }
  }

  async #next(): Promise<StoredPhoto | undefined> {
    await this.how.first();
    const waiting = await this.how.outbox.photosWaiting().catch(() => []);
    const next = waiting.find((p) => !this.#given.has(p.sha));
    if (next) this.#given.add(next.sha);
    return next;
  }

  /** One that cannot be sent does not hold back the others; a line that broke is given time. */
  #failed(sha: string, e: unknown): void {
    if (this.#stop.signal.aborted) return;
    if (e instanceof Refusal) {
      if (e.forGood) return this.how.refused(e);
      this.#refused.delete(sha);
      if (e instanceof NeverTaken) this.never.set(sha, e);
      else this.#refused.set(sha, e);
      return;
    }
    this.#given.delete(sha);
    this.how.broke();
    if (this.#again !== undefined) return;
    this.#again = setTimeout(
      () => {
        this.#again = undefined;
        this.goOn();
      },
      Math.min(againMS * 2 ** this.#fails++, 60_000),
    );
    if (this.#fails >= stuckAfter) this.#stuck = true;
  }
}
