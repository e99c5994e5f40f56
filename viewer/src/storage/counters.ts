// How far the phone has counted, and what is on it, in numbers that are kept in step
// within each transaction: the database takes too long to count thousands of entries
// after every tap.

import { request, type Writing } from "./connection.ts";
import type { EntryRow, PhotoRow, Counters } from "./schema.ts";

export const noCounters: Counters = { place: 0, seqs: {}, entries: 0, unsent: 0, refused: 0, photosUnsent: 0, photoBytesUnsent: 0 };

/** Entries and photos written in one transaction, which covers the ledger, and counted. */
export class Counted {
  #now: { -readonly [name in keyof Counters]: Counters[name] };

  private constructor(
    readonly tx: Writing,
    before: Counters,
  ) {
    this.#now = { ...before };
  }

  static async in(tx: Writing): Promise<Counted> {
    return new Counted(tx, (await tx.objectStore("ledger").get("ledger")) ?? noCounters);
  }

  nextPlace(): number {
    return ++this.#now.place;
  }

  seq(property: string): number {
    return this.#now.seqs[property] ?? 0;
  }

  nextSeq(property: string): number {
    const seq = this.seq(property) + 1;
    this.#now.seqs = { ...this.#now.seqs, [property]: seq };
    return seq;
  }

  /** Goes on behind seq, where less was counted. */
  atLeast(property: string, seq: number): void {
    if (seq > this.seq(property)) this.#now.seqs = { ...this.#now.seqs, [property]: seq };
  }

  /** A new device id counts from 1 on every property. */
  beginSeqs(): void {
    this.#now.seqs = {};
  }

  /** Puts an entry in the place of what was there of it before. */
  entry(before: EntryRow | undefined, after: EntryRow): void {
    this.#now.entries += before ? 0 : 1;
    this.#now.unsent += one(after.waiting) - one(before?.waiting);
    this.#now.refused += one(after.refused) - one(before?.refused);
    request(this.tx.objectStore("entries").put(after));
  }

  photo(before: PhotoRow | undefined, after: PhotoRow): void {
    const change = one(after.waiting) - one(before?.waiting);
    this.#now.photosUnsent += change;
    this.#now.photoBytesUnsent += change * after.size;
    request(this.tx.objectStore("photos").put(after));
  }

  /** Writes the numbers; to be called last. */
  close(): void {
    request(this.tx.objectStore("ledger").put({ ...this.#now }, "ledger"));
  }
}

const one = (there: unknown): number => (there === undefined ? 0 : 1);
