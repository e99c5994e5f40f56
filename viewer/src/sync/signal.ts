// Wakes whoever waits. Ringing while nobody waits is remembered, once.

export class Signal {
  #rungMS = -Infinity; // when it rang for nobody: infinitely long ago, which is never fresh
  #wake: (() => void) | null = null;

  ring(): void {
    if (this.#wake) this.#wake();
    else this.#rungMS = performance.now();
  }

  /** Resolves at the next ring, or after ms; at once when it rang less than freshMS ago for nobody. */
  async wait(ms?: number, freshMS = Infinity): Promise<void> {
    const remembered = performance.now() - this.#rungMS < freshMS;
    this.#rungMS = -Infinity;
    if (remembered) return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    await new Promise<void>((resolve) => {
      this.#wake = resolve;
      if (ms !== undefined) timer = setTimeout(resolve, ms);
    });
    clearTimeout(timer);
    this.#wake = null;
  }
}
