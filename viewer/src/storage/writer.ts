// One page records at a time. The others read, and the next takes over when it closes.

export class Writer {
  #held = false;
  #letGo: () => void = () => undefined;

  constructor(readonly name: string) {}

  get held(): boolean {
    return this.#held;
  }

  /** Asks to be the one that records. It resolves when that is so, or after patienceMS; taken is called first, or later. */
  async ask(patienceMS: number, taken: () => Promise<void>): Promise<void> {
    if (!("locks" in navigator)) {
      this.#held = true; // transactions alone keep two pages from counting the same number
      return taken();
    }
    const given = new AbortController();
    await new Promise<void>((go) => {
      setTimeout(go, patienceMS);
      const hold = () =>
        new Promise<void>((letGo) => {
          this.#held = true;
          this.#letGo = letGo;
          void taken().finally(go);
        });
      this.#letGo = () => given.abort();
      navigator.locks.request(`headcut-shelf/${this.name}`, { signal: given.signal }, hold).catch(() => undefined); // it was let go while it waited
    });
  }

  /** Lets another page record. This one may ask again. */
  release(): void {
    this.#held = false;
    this.#letGo();
  }
}
