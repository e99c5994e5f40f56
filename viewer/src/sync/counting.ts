// Reads the numbers back from the store whenever it changed. They are never counted by the
// page: what a number says is stored is stored.

import type { Store, Counts } from "../storage/store.ts";

export interface Numbers {
  readonly counts: Counts | null; // null when it could not be read
  readonly enrolled: boolean;
  readonly able: boolean; // enrolled, and the store is well
  readonly old: boolean; // the store has changed since
}

export class Counting {
  #running: Promise<void> | null = null;
  #changed = false;
  #last: Counts | null = null;

  /** changed is called at once whenever there is something to count. */
  constructor(
    readonly store: Store,
    readonly told: (numbers: Numbers) => void,
    readonly changed: () => void,
  ) {
    store.watch(() => {
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
      this.#last = await this.store.counts().catch(() => this.#last);
      const enrolled = this.store.self() !== null;
      this.told({ counts: this.#last, enrolled, able: enrolled && this.store.trouble() === null, old: this.#changed });
    }
  }
}
