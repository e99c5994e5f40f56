// Keeps the newest of many values: one write at a time, and what came meanwhile is written
// once, as it stands then.

export class Keeper<T> {
  private newest: { readonly value: T } | null = null;
  private writing: Promise<void> | null = null;

  constructor(
    private readonly write: (value: T) => Promise<void>,
    /** Told the newest value once it is kept, or why it could not be. */
    private readonly told: (kept: T | null, trouble?: unknown) => void,
  ) {}

  keep(value: T): void {
    this.newest = { value };
    this.writing ??= this.run();
  }

  private async run(): Promise<void> {
    try {
      while (this.newest) {
        const { value } = this.newest;
        this.newest = null;
        await this.write(value);
        if (!this.newest) this.told(value);
      }
    } catch (trouble) {
      this.told(null, trouble);
    } finally {
      this.writing = null;
    }
  }
}
