// Bytes that say nothing. When the phone's storage is full they are given up, so
// that entries can still be saved for a long time; photos stop until there is room again.

import { request, type Connection } from "./connection.ts";
import { isFull } from "./errors.ts";
import { freeBytes } from "./persistence.ts";

const roomForPhotosBytes = 32 << 20; // free, before space is reserved again

export class ReservedSpace {
  #givenUp = false;
  #taking: Promise<void> | null = null;

  constructor(
    readonly db: Connection,
    readonly bytes: number,
  ) {}

  /** Whether it was given up, and there is no room for it yet: photos are not kept then. */
  get givenUp(): boolean {
    return this.#givenUp;
  }

  /** Reserves space if none is reserved and there is room for it. */
  take(): Promise<void> {
    return (this.#taking ??= this.#take().finally(() => (this.#taking = null)));
  }

  /** Resolves once it is known whether space is reserved. */
  async known(): Promise<void> {
    await this.#taking;
  }

  async #take(): Promise<void> {
    if ((await this.db.read((open) => open.count("ballast"))) > 0) {
      this.#givenUp = false;
      return;
    }
    if ((await freeBytes()) < roomForPhotosBytes) {
      this.#givenUp = true;
      return;
    }
    try {
      await this.db.write(["ballast"], async (tx) => request(tx.objectStore("ballast").put(noise(this.bytes), "ballast")));
      this.#givenUp = false;
    } catch (e) {
      if (!isFull(e)) throw e;
      this.#givenUp = true;
    }
  }

  /** Gives the reserved space up; false when none was reserved. */
  async free(): Promise<boolean> {
    const had = await this.db.write(["ballast"], async (tx) => {
      const there = await tx.objectStore("ballast").count();
      request(tx.objectStore("ballast").clear());
      return there > 0;
    });
    this.#givenUp = true;
    return had;
  }
}

/** Bytes that no database can make smaller. */
function noise(length: number): ArrayBuffer {
  const bytes = new Uint8Array(length);
  for (let at = 0; at < bytes.length; at += 65_536) crypto.getRandomValues(bytes.subarray(at, at + 65_536));
  return bytes.buffer;
}
