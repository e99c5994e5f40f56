// A copy of the unsent entries outside of the database. A browser may take what a kill has
// torn in its database's log for damage, and empty the database without a word: then the
// entries come back from here when the phone is enrolled anew. Photos are too large for it.

const cacheName = "headcut-spare"; // not one of the service worker's, which it may delete

const quietMS = 400; // without another capture
const longestMS = 10_000; // however much is captured

export interface Spared {
  readonly id: string;
  readonly property: string;
  readonly text: string; // the exact text that was saved
}

export class Spare {
  #last: Promise<unknown> = Promise.resolve();
  #soon = new Map<string, Spared>(); // to be copied when there is time
  #timer: ReturnType<typeof setTimeout> | undefined;
  #sinceMS = 0; // when the first of them came

  constructor(readonly name: string) {}

  /** Copies entries that are on the disk of the database: when nothing is being recorded, as nobody waits for it. */
  keep(entries: readonly Spared[]): void {
    if (entries.length === 0) return;
    if (this.#soon.size === 0) this.#sinceMS = performance.now();
    for (const e of entries) this.#soon.set(e.id, e);
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#copy(), Math.max(0, Math.min(quietMS, this.#sinceMS + longestMS - performance.now())));
  }

  #copy(): void {
    const entries = [...this.#soon.values()];
    this.#soon.clear();
    clearTimeout(this.#timer);
    if (entries.length > 0) this.#then((cache) => Promise.all(entries.map((e) => cache.put(this.#address(e.id), new Response(JSON.stringify(e))))));
  }

  /** Forgets entries that the server has. */
  drop(ids: readonly string[]): void {
    for (const id of ids) this.#soon.delete(id);
    if (ids.length > 0) this.#then((cache) => Promise.all(ids.map((id) => cache.delete(this.#address(id)))));
  }

  /** Every entry that is copied, in the order of capture. */
  async all(): Promise<readonly Spared[]> {
    this.#copy();
    await this.#last;
    try {
      const cache = await caches.open(cacheName);
      const found = await Promise.all((await this.#keys(cache)).map(async (key) => sparedOf(await (await cache.match(key))?.text())));
      return found.filter((e): e is Spared => e !== undefined).sort((a, b) => (a.id < b.id ? -1 : 1)); // ids rise with time
    } catch {
      return []; // the browser has no such place, or nothing in it
    }
  }

  /** Brings the copy in step with what waits in the database, after a page was killed in between. */
  match(waiting: () => Promise<readonly Spared[]>): void {
    this.#then(async (cache) => {
      const copied = new Set((await this.#keys(cache)).map((key) => key.slice(key.lastIndexOf("/") + 1))); // first: what is captured meanwhile is not here
      const waits = await waiting();
      for (const { id } of waits) if (copied.has(id)) copied.delete(id);
      await Promise.all([...copied].map((id) => cache.delete(this.#address(id))));
      await Promise.all(waits.map(async (e) => (await cache.match(this.#address(e.id))) ?? cache.put(this.#address(e.id), new Response(JSON.stringify(e)))));
    });
  }

  async #keys(cache: Cache): Promise<string[]> {
    return (await cache.keys()).map((request) => request.url).filter((url) => url.startsWith(this.#address("")));
  }

  #then(job: (cache: Cache) => Promise<unknown>): void {
    this.#last = this.#last.then(async () => job(await caches.open(cacheName))).catch(() => undefined); // refused or full: the database is the one that counts
  }

  #address(id: string): string {
    return `${location.origin}/${cacheName}/${this.name}/${id}`;
  }
}

function sparedOf(text: string | undefined): Spared | undefined {
  try {
    const { id, property, text: entry } = JSON.parse(text ?? "") as Partial<Spared>;
    if (typeof id !== "string" || typeof property !== "string" || typeof entry !== "string") return undefined;
    return (JSON.parse(entry) as { id?: unknown }).id === id ? { id, property, text: entry } : undefined;
  } catch {
    return undefined; // torn
  }
}
