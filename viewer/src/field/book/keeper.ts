// Keeps the newest of many values: one write at a time, and what came meanwhile is written
// once, as it stands then.

export class Keeper<T> {
  private newest: { readonly value: T } | null = null;
  private writing: Promise<void> | null = null;

  constructor(
    private readonly write: (value: T) => Promise<void>,
    /** Told true when everything given so far is kept, false when it is not yet or could not be. */
    private readonly told: (kept: boolean, trouble?: unknown) => void,
  ) {}

  keep(value: T): void {
    this.newest = { value };
    this.told(false);
    this.writing ??= this.run();
  }

  private async run(): Promise<void> {
    try {
      while (this.newest) {
        const { value } = this.newest;
        this.newest = null;
        await this.write(value);
      }
      this.told(true);
    } catch (trouble) {
      this.told(false, trouble);
    } finally {
      this.writing = null;
    }
  }
}
