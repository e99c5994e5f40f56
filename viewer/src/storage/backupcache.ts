// The backup as it lies in Cache Storage: pieces of its journal under numbers, and the
// bytes of each photo. Cache Storage because it takes a response whole or not at all, and
// because Chromium forgets, over a kill, how much of the quota the other file system of a
// page has used. Runs in a worker: a response is slow to store.

import { droppedLine, keptLine, replay, wholeLine, type BackupRecord } from "./journal.ts";
import { freeBytes } from "./persistence.ts";

export interface Keeping extends BackupRecord {
  readonly bytes?: ArrayBuffer;
  readonly rises?: true; // a number, of which the greatest is kept
}

const roomLeftBytes = 64 << 20; // photos are copied as long as the browser would take so much more
const mostPieces = 200; // of the journal, before it is rewritten as one

export class BackupCache {
  #last = 0; // number of the newest piece
  #pieces: string[] = []; // addresses
  #full = false; // the room of photos' copies was needed for something better

  private constructor(
    readonly cache: Cache,
    readonly at: string,
    readonly kept: Map<string, BackupRecord>,
  ) {}

  /** Opens the copy of a database. Read only, it leaves alone what a page may be writing. */
  static async open(name: string, readOnly: boolean): Promise<BackupCache> {
    const cache = await caches.open(`headcut-spare/${name}`); // by the name that phones hold; not one of the service worker's, which it may delete
    const at = `${location.origin}/headcut-spare/`;
    const number = (address: string) => Number(address.slice(`${at}journal/`.length));
    const { addresses, pieces, texts } = await journalIn(cache, `${at}journal/`, number);
    const backup = new BackupCache(cache, at, replay(texts));
    const there = new Set(addresses);
    for (const { key, size } of [...backup.kept.values()])
      if (size !== undefined && !there.has(backup.#bytesAt(key))) backup.kept.delete(key);
    if (readOnly) return backup;
    backup.#pieces = pieces;
    backup.#last = pieces.length > 0 ? number(pieces[pieces.length - 1]!) : 0;
    if (pieces.length > 1) await backup.#shorten();
    const named = new Set([...backup.#pieces, ...[...backup.kept.keys()].map((key) => backup.#bytesAt(key))]);
    await Promise.all(addresses.filter((address) => !named.has(address)).map((address) => cache.delete(address)));
    return backup;
  }

  /** Keeps records and drops others, by one piece of the journal. */
  async keep(records: readonly Keeping[], dropped: readonly string[]): Promise<void> {
    let lines = await this.#dropped(dropped);
    for (const { key, value, bytes, rises } of records) {
      if (rises && Number(this.kept.get(key)?.value ?? -1) >= Number(value)) continue;
      if (bytes && !(await this.#keepBytes(key, bytes))) continue;
      const record = bytes ? { key, value, size: bytes.byteLength } : { key, value };
      this.kept.set(key, record);
      lines += keptLine(record);
    }
    await this.#append(lines);
  }

  /** Drops records, and gives the line that says so. */
  async #dropped(keys: readonly string[]): Promise<string> {
    const held = keys.map((key) => this.kept.get(key)).filter((record) => record !== undefined);
    if (held.length === 0) return "";
    for (const { key } of held) this.kept.delete(key);
    // The bytes first: where there is no room for the line, that makes some.
    await Promise.all(held.filter(({ size }) => size !== undefined).map(({ key }) => this.cache.delete(this.#bytesAt(key))));
    return droppedLine(held.map(({ key }) => key));
  }

  /** Gives up the bytes that are copied, and copies no more until it is opened again. It tells whether there were any. */
  async giveUpBytes(): Promise<boolean> {
    this.#full = true;
    const large = [...this.kept.values()].filter(({ size }) => size !== undefined).map(({ key }) => key);
    await this.keep([], large);
    return large.length > 0;
  }

  /** The bytes of a record; undefined when they are not there any more. */
  async bytes(key: string): Promise<ArrayBuffer | undefined> {
    return (await this.cache.match(this.#bytesAt(key)))?.arrayBuffer();
  }

  async #keepBytes(key: string, bytes: ArrayBuffer): Promise<boolean> {
    if (this.#full) return false;
    if ((await freeBytes()) - bytes.byteLength < roomLeftBytes) return false; // the room is for what is not copied yet
    try {
      await this.cache.put(this.#bytesAt(key), new Response(bytes));
      return true;
    } catch {
      return false; // no room: the database goes first
    }
  }

  async #append(lines: string): Promise<void> {
    if (lines === "") return;
    await this.#piece(lines);
    if (this.#pieces.length >= mostPieces) await this.#shorten();
  }

  /** Writes everything that is kept as one piece, and forgets the older ones. */
  async #shorten(): Promise<void> {
    const old = this.#pieces;
    this.#pieces = [];
    await this.#piece([...this.kept.values()].map(keptLine).join("") + wholeLine);
    await Promise.all(old.map((address) => this.cache.delete(address)));
  }

  async #piece(lines: string): Promise<void> {
    const address = `${this.at}journal/${++this.#last}`;
    this.#pieces.push(address);
    await this.cache.put(address, new Response(lines));
  }

  #bytesAt(key: string): string {
    return `${this.at}bytes/${encodeURIComponent(key)}`;
  }
}

interface Journal {
  readonly addresses: readonly string[]; // of all that the cache holds
  readonly pieces: string[]; // the addresses of the journal's, the oldest first
  readonly texts: string[]; // what they say
}

/**
 * Reads the whole journal. A page that was just left may still be putting its pieces together: it writes the whole
 * before it deletes them, so where one has gone since the list was read, a newer list has what it said.
 */
async function journalIn(cache: Cache, within: string, number: (address: string) => number): Promise<Journal> {
  for (;;) {
    const addresses = (await cache.keys()).map(({ url }) => url);
    const pieces = addresses.filter((address) => address.startsWith(within)).sort((a, b) => number(a) - number(b));
    const texts = await Promise.all(pieces.map(async (address) => (await cache.match(address))?.text()));
    if (texts.every((text) => text !== undefined)) return { addresses, pieces, texts };
  }
}
