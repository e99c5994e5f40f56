// An IndexedDB that outlives its process: fake-indexeddb keeps a database in memory, and what
// each transaction changed is written to a file before its complete event is heard, if it is
// strict; else some time after, as browsers do. A process that is killed finds every strict
// transaction whole, or nothing of it, when it opens the file again.

import {
  indexedDB as inMemory,
  IDBDatabase,
  IDBFactory,
  IDBKeyRange,
  IDBObjectStore,
  IDBTransaction,
  IDBRequest,
  IDBCursor,
  IDBCursorWithValue,
  IDBIndex,
  IDBOpenDBRequest,
  IDBVersionChangeEvent,
} from "fake-indexeddb";
import { appendFileSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import { deserialize, serialize } from "node:v8";

/** One change of a database. */
type Change =
  | { readonly make: string; readonly options: IDBObjectStoreParameters | undefined }
  | { readonly index: string; readonly of: string; readonly path: string | string[]; readonly options: IDBIndexParameters | undefined }
  | { readonly put: unknown; readonly key: IDBValidKey | undefined; readonly of: string }
  | { readonly delete: IDBValidKey; readonly of: string }
  | { readonly clear: true; readonly of: string };

/** What one transaction changed. */
interface Written {
  readonly database: string;
  readonly version: number;
  readonly changes: readonly Change[];
}

const lengthBytes = 4;
/** How long what is not strict may wait for the disk. */
const relaxedMS = 1_000;

/** Gives this process the databases of a file, and keeps them there. */
export async function openDisk(file: string): Promise<void> {
  Object.assign(globalThis, {
    indexedDB: inMemory,
    IDBDatabase,
    IDBFactory,
    IDBKeyRange,
    IDBObjectStore,
    IDBTransaction,
    IDBRequest,
    IDBCursor,
    IDBCursorWithValue,
    IDBIndex,
    IDBOpenDBRequest,
    IDBVersionChangeEvent,
  });
  for (const [database, written] of byDatabase(read(file))) await restore(database, written);
  writeThrough(file);
}

/** The transactions in a file. One that is not whole was never complete, and is cut off. */
function read(file: string): Written[] {
  if (!existsSync(file)) return [];
  const bytes = readFileSync(file),
    all: Written[] = [];
  let at = 0;
  while (at + lengthBytes <= bytes.length) {
    const end = at + lengthBytes + bytes.readUInt32LE(at);
    if (end > bytes.length) break;
    all.push(deserialize(bytes.subarray(at + lengthBytes, end)) as Written);
    at = end;
  }
  if (at < bytes.length) writeFileSync(file, bytes.subarray(0, at));
  return all;
}

function byDatabase(all: readonly Written[]): Map<string, Written[]> {
  const found = new Map<string, Written[]>();
  for (const one of all) found.set(one.database, [...(found.get(one.database) ?? []), one]);
  return found;
}

function restore(database: string, written: readonly Written[]): Promise<void> {
  const changes = written.flatMap((one) => one.changes);
  return new Promise((done, failed) => {
    const opening = inMemory.open(database, written[written.length - 1]!.version);
    opening.onerror = () => failed(opening.error);
    opening.onupgradeneeded = () => {
      for (const change of changes) {
        if ("make" in change) opening.result.createObjectStore(change.make, change.options);
        if ("index" in change) opening.transaction!.objectStore(change.of).createIndex(change.index, change.path, change.options);
      }
    };
    opening.onsuccess = () => {
      const db = opening.result,
        filling = db.transaction([...db.objectStoreNames], "readwrite");
      for (const change of newest(changes)) fill(filling, change);
      filling.oncomplete = () => {
        db.close();
        done();
      };
      filling.onabort = () => failed(filling.error);
    };
  });
}

/** The changes of rows without those that later ones have overtaken. */
function newest(changes: readonly Change[]): Iterable<Change> {
  const paths = new Map<string, string>(),
    rows = new Map<string, Map<string, Change>>();
  for (const change of changes) {
    if ("make" in change) {
      paths.set(change.make, String(change.options?.keyPath ?? ""));
      rows.set(change.make, new Map());
    } else if ("clear" in change) rows.get(change.of)!.clear();
    else if ("delete" in change) rows.get(change.of)!.delete(JSON.stringify(change.delete));
    else if ("put" in change) {
      const key = change.key ?? (change.put as Record<string, IDBValidKey>)[paths.get(change.of)!];
      rows.get(change.of)!.set(JSON.stringify(key), change);
    }
  }
  return [...rows.values()].flatMap((of) => [...of.values()]);
}

function fill(transaction: IDBTransaction, change: Change): void {
  if ("put" in change) transaction.objectStore(change.of).put(change.put, change.key);
}

/** From now on what is changed goes to the file. */
function writeThrough(file: string): void {
  const changesOf = new WeakMap<IDBTransaction, Change[]>();
  const late: Buffer[] = []; // of transactions that are complete and not on the disk
  const toDisk = () => {
    if (late.length > 0) appendFileSync(file, Buffer.concat(late.splice(0)));
  };
  const begun = (transaction: IDBTransaction) => {
    const changes: Change[] = [];
    changesOf.set(transaction, changes);
    transaction.addEventListener("complete", () => {
      if (changes.length === 0) return;
      const { name: database, version } = transaction.db;
      const body = serialize({ database, version, changes } satisfies Written),
        length = Buffer.alloc(lengthBytes);
      length.writeUInt32LE(body.length);
      late.push(length, body);
      if (transaction.mode === "versionchange" || transaction.durability === "strict") toDisk();
      else setTimeout(toDisk, relaxedMS);
    });
    return changes;
  };
  const changed = (transaction: IDBTransaction, change: Change) => (changesOf.get(transaction) ?? begun(transaction)).push(change);
  // Before whoever asks for the transaction can listen to it.
  after(IDBDatabase.prototype, "transaction", (transaction) => begun(transaction as IDBTransaction));
  after(IDBDatabase.prototype, "createObjectStore", (made, _, name, options) =>
    changed((made as IDBObjectStore).transaction, { make: name as string, options: options as IDBObjectStoreParameters }),
  );
  after(IDBObjectStore.prototype, "createIndex", (_, store, name, path, options) =>
    changed(store.transaction, { index: name as string, of: store.name, path: path as string, options: options as IDBIndexParameters }),
  );
  for (const how of ["put", "add"] as const) {
    after(IDBObjectStore.prototype, how, (_, store, value, key) =>
      changed(store.transaction, { put: structuredClone(value), key: key as IDBValidKey, of: store.name }),
    );
  }
  after(IDBObjectStore.prototype, "delete", (_, store, key) => {
    if (key instanceof IDBKeyRange) throw new Error("this disk deletes row by row");
    changed(store.transaction, { delete: key as IDBValidKey, of: store.name });
  });
  after(IDBObjectStore.prototype, "clear", (_, store) => changed(store.transaction, { clear: true, of: store.name }));
  for (const how of ["update", "delete"] as const) {
    after(IDBCursor.prototype, how, () => {
      throw new Error("this disk is not written through cursors");
    });
  }
}

/** Has something run after a method of a class, whenever that is called. */
function after<Class, Name extends keyof Class>(
  of: Class,
  name: Name,
  then: (result: unknown, self: Class, ...given: unknown[]) => void,
): void {
  const method = of[name] as (...given: unknown[]) => unknown;
  Object.defineProperty(of, name, {
    configurable: true,
    value: function (this: Class, ...given: unknown[]) {
      const result = method.apply(this, given);
      then(result, this, ...given);
      return result;
    },
  });
}
