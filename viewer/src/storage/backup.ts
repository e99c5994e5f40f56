// A copy of all that only this phone has, outside of the database: entries and photos that
// are not sent, and what is being written. A browser may take what a kill has torn in its
// database's log for damage, and empty the database without a word: then all of it comes
// back from here (restore.ts). The copy is made by a worker, so that nobody waits for it.

import address from "worker:./backupworker.ts";
import type { Copied } from "./store.ts";
import type { BackupRecord } from "./journal.ts";
import type { Keeping } from "./backupcache.ts";
import type { BackupAnswer, BackupAsk, BackupQuestion } from "./backupanswers.ts";

/** How long what is saved waits for its copy, at most: the database is the one that counts. */
const patienceMS = 150;
/** The same while the copy is being opened. */
const openingMS = 2_000;
/** After which a browser is not waited for that does not answer at all. */
const deadMS = 15_000;

export class Backup {
  #worker: Worker | null = null;
  #state: "opening" | "open" | "not here" = "opening"; // "not here": the browser has no place for it
  #asked = 0;
  readonly #waiting = new Map<number, { yes: (done: unknown) => void; no: (why: Error) => void }>();

  constructor(
    readonly name: string,
    readonly readOnly = false,
  ) {}

  /** Opens it, so that nothing has to wait for that later. */
  begin(): void {
    this.#worker ??= this.#start();
  }

  /**
   * Copies what is on the disk of the database, and forgets what the server has or what is
   * not wanted any more. It resolves when that is done or takes too long, and never rejects.
   */
  async keep(records: readonly Keeping[], dropped: readonly string[] = []): Promise<void> {
    if (records.length + dropped.length > 0) await this.#soon({ do: "keep", records, dropped });
  }

  drop(keys: readonly string[]): Promise<void> {
    return this.keep([], keys);
  }

  /** Gives up the copies of photos for the room they take. It tells whether there were any. */
  async giveUpBytes(): Promise<boolean> {
    return (await this.#answer<boolean>({ do: "give up bytes" })) ?? false;
  }

  /** Everything that is copied; nothing where the browser has no such place. */
  async all(): Promise<readonly BackupRecord[]> {
    return (await this.#answer<readonly BackupRecord[]>({ do: "all" })) ?? [];
  }

  async keys(): Promise<readonly string[]> {
    return (await this.#answer<readonly string[]>({ do: "keys" })) ?? [];
  }

  /** How much is copied; null where there is no copy. */
  async count(): Promise<Copied | null> {
    return (await this.#answer<Copied | null>({ do: "count" })) ?? null;
  }

  bytes(key: string): Promise<ArrayBuffer | undefined> {
    return this.#answer<ArrayBuffer>({ do: "bytes", key });
  }

  /** Lets another page have the files. The next use opens them again. */
  close(): void {
    this.#worker?.postMessage({ id: 0, ask: { do: "close" } } satisfies BackupQuestion);
    this.#gone("the page was left");
  }

  async #soon(ask: BackupAsk): Promise<void> {
    const done = this.#ask(ask).catch(() => undefined); // refused or full: the database is the one that counts
    if (this.#state === "not here") return;
    await Promise.race([done, new Promise((late) => setTimeout(late, this.#state === "open" ? patienceMS : openingMS))]);
  }

  /** What the worker answers; undefined when it cannot, or does not answer at all. */
  #answer<T>(ask: BackupAsk): Promise<T | undefined> {
    const late = new Promise<undefined>((none) => setTimeout(() => none(undefined), deadMS));
    return Promise.race([this.#ask(ask) as Promise<T>, late]).catch(() => undefined);
  }

  #ask(ask: BackupAsk): Promise<unknown> {
    this.begin();
    return this.#put(ask);
  }

  #put(ask: BackupAsk): Promise<unknown> {
    const id = ++this.#asked;
    return new Promise((yes, no) => {
      this.#waiting.set(id, { yes, no });
      this.#worker!.postMessage({ id, ask } satisfies BackupQuestion);
    });
  }

  #start(): Worker {
    const worker = (this.#worker = new Worker(address, { type: "module" }));
    worker.onmessage = ({ data: { id, done, failed } }: MessageEvent<BackupAnswer>) => {
      const asked = this.#waiting.get(id);
      this.#waiting.delete(id);
      if (failed === undefined) asked?.yes(done);
      else asked?.no(new Error(failed));
    };
    worker.onerror = () => {
      this.#gone("the worker has ended");
      this.#state = "not here";
    };
    const become = (state: "open" | "not here") => () => void (this.#worker === worker && (this.#state = state));
    this.#put({ do: "open", name: this.name, readOnly: this.readOnly }).then(become("open"), become("not here"));
    return worker;
  }

  #gone(why: string): void {
    this.#worker = null;
    this.#state = "opening";
    for (const { no } of this.#waiting.values()) no(new Error(why));
    this.#waiting.clear();
  }
}
