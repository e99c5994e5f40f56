// Keeps the newest of many values: one write at a time, and what came meanwhile is written
// once, as it stands then.

export class LatestWriter<T> {
  private newest: { readonly value: T } | null = null;
  private writing: Promise<void> | null = null;

  constructor(
    private readonly write: (value: T) => Promise<void>,
    /** Told the newest value once it is kept, or null and why it could not be. */
    private readonly told: (kept: T | null, trouble?: unknown) => void,
  ) {}

  keep(value: T): void {
    this.newest = { value };
    this.writing ??= this.run();
  }

  /** Lets what is still to be written go, and resolves when nothing is being written. */
  async stop(): Promise<void> {
    this.newest = null;
    await this.writing;
  }

  // Between the last look for something newer and the end there must be no waiting: what is
  // given to keep in that moment would not be written.
  private async run(): Promise<void> {
    await Promise.resolve(); // so that writing is set before it can end
    while (this.newest) {
      const { value } = this.newest;
      this.newest = null;
      let trouble: { readonly why: unknown } | null = null;
      try {
        await this.write(value);
      } catch (why) {
        trouble = { why };
      }
      if (this.newest) continue; // how this one went no longer matters
      if (trouble) this.told(null, trouble.why);
      else this.told(value);
    }
    this.writing = null;
  }
}
