// What is on the phone, in numbers that are kept in step within each transaction: the
// database takes too long to count thousands of entries after every tap.

import { request, type Writing } from "./connection.ts";
import type { HeldEntry, HeldPhoto } from "./schema.ts";

export interface Ledger {
  readonly place: number; // the last that was given
  readonly entries: number;
  readonly unsent: number;
  readonly refused: number;
  readonly photosUnsent: number;
  readonly photoBytesUnsent: number;
}

export const emptyLedger: Ledger = { place: 0, entries: 0, unsent: 0, refused: 0, photosUnsent: 0, photoBytesUnsent: 0 };

/** Entries and photos written in one transaction, which covers the ledger, and counted. */
export class Counted {
  #now: { -readonly [name in keyof Ledger]: number };

  private constructor(readonly tx: Writing, before: Ledger) {
    this.#now = { ...before };
  }

  static async in(tx: Writing): Promise<Counted> {
    return new Counted(tx, (await tx.objectStore("ledger").get("ledger")) ?? emptyLedger);
  }

  nextPlace(): number {
    return ++this.#now.place;
  }

  /** Puts an entry in the place of what was there of it before. */
  entry(before: HeldEntry | undefined, after: HeldEntry): void {
    this.#now.entries += before ? 0 : 1;
    this.#now.unsent += one(after.waiting) - one(before?.waiting);
    this.#now.refused += one(after.refused) - one(before?.refused);
    request(this.tx.objectStore("entries").put(after));
  }

  photo(before: HeldPhoto | undefined, after: HeldPhoto): void {
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
