// The copy of one capture, made while the database writes it: neither waits for the other.

import type { Copying } from "./capture.ts";
import type { Backup } from "./backup.ts";
import { isSeq } from "./backuprecords.ts";

export class Copy {
  #making: Promise<void> = Promise.resolve();

  /** underWay has the keys of all that is being copied, of every capture. */
  constructor(
    readonly backup: Backup,
    readonly underWay: Set<string>,
  ) {}

  /** Runs a write that gives what to copy. What was not written is not to be copied either. */
  async of<T>(write: (copying: Copying) => Promise<T>): Promise<T> {
    let keys: string[] = [];
    try {
      return await write((records) => {
        keys = records.map(({ key }) => key).filter((key) => !isSeq(key)); // a number given in vain is only a gap
        for (const key of keys) this.underWay.add(key);
        this.#making = this.backup.keep(records).then(() => keys.forEach((key) => this.underWay.delete(key)));
      });
    } catch (e) {
      void this.backup.drop(keys);
      throw e;
    }
  }

  /** Resolves when the copy is made, or takes too long. */
  made(): Promise<void> {
    return this.#making;
  }
}
