// Keystrokes not yet recorded. Only the newest value of a key matters, so while one is
// being written the values between are passed over.

import { request, type Connection } from "./connection.ts";
import type { Backup } from "./backup.ts";
import { draftKey, draftRecord } from "./backuprecords.ts";

export class Drafts {
  #next = new Map<string, { value: unknown }>(); // undefined drops the draft
  #writing: Promise<void> | null = null;
  #after: Promise<void> | null = null; // the write that follows the one under way

  constructor(
    readonly db: Connection,
    readonly backup: Backup,
  ) {}

  /** Resolves when these values of their keys, or newer ones, are on disk: all at once. */
  keep(drafts: ReadonlyMap<string, unknown>): Promise<void> {
    for (const [key, value] of drafts) this.#next.set(key, { value });
    if (!this.#writing) return this.#begin();
    return (this.#after ??= this.#writing.then(
      () => this.#begin(),
      () => this.#begin(),
    ));
  }

  async read<T>(key: string): Promise<T | undefined> {
    const coming = this.#next.get(key);
    if (coming) return coming.value as T | undefined;
    return (await this.db.read((open) => open.get("drafts", key))) as T | undefined;
  }

  /** Those whose keys begin so, by what follows in the key. */
  async readUnder<T>(prefix: string): Promise<ReadonlyMap<string, T>> {
    const range = IDBKeyRange.bound(prefix, `${prefix}\uffff`);
    const [keys, values] = await this.db.read((open) => {
      const tx = open.transaction("drafts");
      return Promise.all([tx.store.getAllKeys(range), tx.store.getAll(range)]);
    });
    const all = new Map(keys.map((key, i) => [key, values[i]]));
    for (const [key, { value }] of this.#next) if (key.startsWith(prefix)) all.set(key, value);
    return new Map([...all].flatMap(([key, value]) => (value === undefined ? [] : [[key.slice(prefix.length), value as T]])));
  }

  #begin(): Promise<void> {
    this.#after = null;
    return (this.#writing = this.#write().finally(() => {
      if (!this.#after) this.#writing = null;
    }));
  }

  async #write(): Promise<void> {
    const batch = this.#next;
    this.#next = new Map();
    try {
      const copied = this.#copy(batch);
      await this.db.write(["drafts"], async (tx) => {
        for (const [key, { value }] of batch) {
          request(value === undefined ? tx.objectStore("drafts").delete(key) : tx.objectStore("drafts").put(value, key));
        }
      });
      await copied;
    } catch (e) {
      for (const [key, draft] of batch) if (!this.#next.has(key)) this.#next.set(key, draft);
      throw e;
    }
  }

  async #copy(batch: ReadonlyMap<string, { value: unknown }>): Promise<void> {
    const dropped = [...batch].filter(([, { value }]) => value === undefined).map(([key]) => draftKey(key));
    const kept = [...batch].filter(([, { value }]) => value !== undefined).map(([key, { value }]) => draftRecord(key, value));
    await this.backup.keep(kept, dropped);
  }
}
