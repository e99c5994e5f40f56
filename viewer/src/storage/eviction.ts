// What gives way when the phone's room is short: first the copies of photos, then photos
// altogether; entries go on in the room that is held back for them.

import type { ReservedSpace } from "./reservedspace.ts";
import type { Backup } from "./backup.ts";
import { full, fullForPhotos, isFull } from "./errors.ts";

export class Eviction {
  constructor(
    readonly reserved: ReservedSpace,
    readonly backup: Backup,
  ) {}

  /** Runs a capture, once more when room could be made for it. */
  async forCapture<T>(withPhotos: boolean, capture: () => Promise<T>): Promise<T> {
    if (withPhotos) await this.#forPhotos();
    try {
      return await this.beforeCopies(capture);
    } catch (e) {
      if (!isFull(e)) throw e;
      const freed = await this.reserved.free();
      if (withPhotos) throw fullForPhotos();
      if (!freed) throw full();
    }
    return capture();
  }

  /** What is new needs its room more than the copies of photos do. */
  async beforeCopies<T>(job: () => Promise<T>): Promise<T> {
    try {
      return await job();
    } catch (e) {
      if (!isFull(e) || !(await this.backup.giveUpBytes())) throw e;
      return job();
    }
  }

  /** Photos are not to take the room that is kept for entries. */
  async #forPhotos(): Promise<void> {
    await this.reserved.known();
    if (this.reserved.givenUp) await this.reserved.take();
    if (this.reserved.givenUp && (await this.backup.giveUpBytes())) await this.reserved.take();
    if (this.reserved.givenUp) throw fullForPhotos();
  }
}
