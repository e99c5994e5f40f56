// Reads the numbers back from the store whenever it changed. They are never counted by the
// page: what a number says is stored is stored.

import type { Shelf, Tally } from "../storage/store.ts";

export interface Numbers {
  readonly tally: Tally | null; // null when it could not be read
  readonly enrolled: boolean;
  readonly able: boolean; // enrolled, and the store is well
  readonly old: boolean; // the store has changed since
}

export class Counting {
  #running: Promise<void> | null = null;
  #changed = false;
  #last: Tally | null = null;

  /** changed is called at once whenever there is something to count. */
  constructor(readonly shelf: Shelf, readonly told: (numbers: Numbers) => void, readonly changed: () => void) {
    shelf.watch(() => {
      changed();
      void this.count();
    });
    void this.count();
  }

  /** Resolves once the numbers are told as they are now. */
  count(): Promise<void> {
    this.#changed = true;
    this.#running ??= this.#untilStill().finally(() => (this.#running = null));
    return this.#running;
  }

  async #untilStill(): Promise<void> {
    while (this.#changed) {
      this.#changed = false;
      this.#last = await this.shelf.tally().catch(() => this.#last);
      const enrolled = this.shelf.self() !== null;
      this.told({ tally: this.#last, enrolled, able: enrolled && this.shelf.trouble() === null, old: this.#changed });
    }
  }
}
