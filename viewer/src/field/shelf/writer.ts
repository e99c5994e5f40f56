// One page records at a time. The others read, and the next takes over when it closes.

export class Writer {
  #held = false;
  #release: () => void = () => undefined;
  #waiting = new AbortController();

  constructor(readonly name: string) {}

  get held(): boolean {
    return this.#held;
  }

  /** Asks to be the one that records. It resolves when that is so, or after patienceMS; taken is called then or later. */
  async ask(patienceMS: number, taken: () => void): Promise<void> {
    if (!("locks" in navigator)) {
      this.#held = true; // transactions alone keep two pages from counting the same number
      return taken();
    }
    await new Promise<void>((go) => {
      setTimeout(go, patienceMS);
      const options = { signal: this.#waiting.signal };
      navigator.locks.request(`headcut-shelf/${this.name}`, options, () => {
        this.#held = true;
        go();
        taken();
        return new Promise<void>((release) => (this.#release = release));
      }).catch(() => undefined); // given up: release was called first
    });
  }

  release(): void {
    this.#held = false;
    this.#release();
    this.#waiting.abort();
  }
}
