// The connection to the phone's database. It is opened again once when the browser has
// dropped it, and every write is strict: it is done when the bytes are on the phone's disk.

import { openDB, unwrap, type IDBPTransaction } from "idb";
import { steps as allSteps, type Database, type Step, type Table, type Tables } from "./schema.ts";
import { damaged, gone, isLost, named, outdated } from "./errors.ts";

export type Writing = IDBPTransaction<Tables, Table[], "readwrite">;

export class Connection {
  #opening: Promise<Database> | null = null;
  #expected: boolean; // a database that is not there has been lost

  /** expected tells that there has been a database, so that a new one must not be made. */
  constructor(
    readonly name: string,
    expected: boolean,
    readonly steps: readonly Step[] = allSteps,
  ) {
    this.#expected = expected;
  }

  /** Allows the next opening to make a new database: the officer knows that the old one is gone. */
  allowNew(): void {
    this.#expected = false;
  }

  open(): Promise<Database> {
    this.#opening ??= this.#open().catch((e) => {
      this.#opening = null;
      throw e;
    });
    return this.#opening;
  }

  async #open(): Promise<Database> {
    let lost = false;
    try {
      const db = await openDB<Tables>(this.name, this.steps.length, {
        upgrade: (db, from, _, upgrade) => {
          if (from === 0 && this.#expected) {
            lost = true; // an empty one in its place would hide that
            upgrade.done.catch(() => undefined);
            upgrade.abort();
            return;
          }
          for (const step of this.steps.slice(from)) step(db, upgrade);
        },
        blocking: () => this.close(), // a newer page wants to change the database
        terminated: () => {
          this.#opening = null;
        },
      });
      this.#expected = true;
      return db;
    } catch (e) {
      if (lost) throw gone();
      if (named(e, "VersionError")) throw outdated();
      throw e;
    }
  }

  /** Closes the connection; the next use opens it again. */
  close(): void {
    const opening = this.#opening;
    this.#opening = null;
    void opening?.then(
      (db) => db.close(),
      () => undefined,
    );
  }

  async read<T>(job: (db: Database) => Promise<T>): Promise<T> {
    return this.#twice(job);
  }

  /**
   * Runs a job in one strict transaction and resolves on its complete event. The job may
   * be run twice, when the browser lost the connection: it must come to the same then,
   * also if the first run was saved after all; again tells. It may wait only for its own requests.
   */
  async write<T>(tables: readonly Table[], job: (tx: Writing, again: boolean) => Promise<T>): Promise<T> {
    return this.#twice((db, again) => within(db, tables, (tx) => job(tx, again)));
  }

  async #twice<T>(job: (db: Database, again: boolean) => Promise<T>): Promise<T> {
    try {
      return await job(await this.open(), false);
    } catch (e) {
      if (!isLost(e)) throw e;
      this.close();
    }
    let db: Database;
    try {
      db = await this.open();
    } catch (e) {
      throw isLost(e) ? damaged(e) : e;
    }
    return job(db, true);
  }
}

async function within<T>(db: Database, tables: readonly Table[], job: (tx: Writing) => Promise<T>): Promise<T> {
  const tx = db.transaction([...tables], "readwrite", { durability: "strict" }) as Writing;
  tx.done.catch(() => undefined); // it is too early: it does not wait for the reason
  const raw = unwrap(tx);
  const complete = new Promise<void>((resolve, reject) => {
    raw.addEventListener("complete", () => resolve());
    raw.addEventListener("abort", () => reject(raw.error ?? new DOMException("the browser has broken off the transaction", "AbortError")));
  });
  let result: T;
  try {
    result = await job(tx);
    commit(tx);
  } catch (e) {
    try {
      tx.abort();
    } catch {
      // it has ended already
    }
    const why = await complete.then(
      () => null,
      (reason: unknown) => reason,
    );
    throw raw.error ? why : e; // the browser's own reason, such as a full disk, goes first
  }
  await complete;
  return result;
}

/** Says that nothing more is to be written, so that the browser need not wait and see. */
function commit(tx: Writing): void {
  try {
    tx.commit();
  } catch {
    // it has ended already: how, its own events tell
  }
}

/** Asks for a write whose failure ends the transaction, and so needs no waiting for. */
export function request(done: Promise<unknown>): void {
  done.catch(() => undefined);
}
