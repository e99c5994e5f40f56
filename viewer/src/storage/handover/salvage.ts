// Reads what the server does not have out of the phone's database, and out of its copy,
// without opening the store: nothing is written, no version is asked for, no new database is
// made, and what cannot be read does not hold back the rest.

import { storeName } from "../../base/page.ts";
import type { Outbox, Self, StoredPhoto } from "../store.ts";
import type { EntryRow, PhotoRow, SelfRow } from "../schema.ts";
import { Backup } from "../backup.ts";
import { photoKey, backedUpIn, type InBackup, type BackupPhoto } from "../backuprecords.ts";

/** What could be read, as makeFile takes it. */
export interface Rescued {
  readonly outbox: Pick<Outbox, "all">;
  readonly self: Pick<Self, "device" | "token" | "author" | "properties">;
  readonly entries: number;
  readonly photos: number;
  readonly unreadable: number; // records that the browser does not give out
}

/** It rejects when the browser gives out nothing at all. */
export async function readRescued(name = storeName, patienceMS = 15_000): Promise<Rescued> {
  const backup = new Backup(name, true),
    copy = backedUpIn(await backup.all());
  try {
    const db = await opened(name, patienceMS);
    try {
      return await reading(db, backup, copy);
    } finally {
      db.close();
    }
  } catch (why) {
    if (copy.entries.length + copy.photos.length === 0) throw why;
    return rescued(nothingRead, await photosOf(backup, copy.photos), copy);
  } finally {
    backup.close();
  }
}

/** What the database gave out. */
interface Read {
  readonly entries: readonly EntryRow[];
  readonly photos: readonly StoredPhoto[];
  readonly unreadable: ReadonlySet<string>; // ids and hashes
  readonly sent: ReadonlySet<string>; // the same, of what the server has
  readonly self: SelfRow | undefined;
}

const nothingRead: Read = { entries: [], photos: [], unreadable: new Set(), sent: new Set(), self: undefined };

async function reading(db: IDBDatabase, backup: Backup, copy: InBackup): Promise<Rescued> {
  const held = await all<EntryRow>(db, "entries");
  const isMine = (e: EntryRow) => e.waiting || e.refused !== undefined;
  const named = await all<PhotoRow>(db, "photos");
  const photos: StoredPhoto[] = [];
  const lost = [...held.unreadable, ...named.unreadable];
  for (const { sha, size, features } of named.read.filter((p) => p.waiting !== undefined)) {
    const bytes = await one<ArrayBuffer>(db, "photoBytes", sha).catch(() => undefined);
    if (bytes) photos.push(stored(sha, size, features, bytes));
    else lost.push(sha);
  }
  const read: Read = {
    entries: held.read.filter(isMine).sort((a, b) => (a.mine?.[1] ?? 0) - (b.mine?.[1] ?? 0)),
    photos,
    unreadable: new Set(lost),
    sent: new Set([
      ...held.read.filter((e) => !isMine(e)).map((e) => e.id),
      ...named.read.filter((p) => p.waiting === undefined).map((p) => p.sha),
    ]),
    self: await one<SelfRow>(db, "selves", "self").catch(() => undefined),
  };
  const had = new Set(photos.map((p) => p.sha));
  return rescued(
    read,
    await photosOf(
      backup,
      copy.photos.filter((p) => !had.has(p.sha) && !read.sent.has(p.sha)),
    ),
    copy,
  );
}

/** What the database gave out, and of the copy what it did not. */
function rescued(read: Read, copiedPhotos: readonly StoredPhoto[], copy: InBackup): Rescued {
  const had = new Set(read.entries.map((e) => e.id));
  const copied = copy.entries.filter((e) => !had.has(e.id) && !read.sent.has(e.id));
  const entries = [...read.entries, ...copied].map(({ property, text }) => ({ property, text }));
  const photos = [...read.photos, ...copiedPhotos];
  const found = new Set([...copied.map((e) => e.id), ...copiedPhotos.map((p) => p.sha)]);
  const self = read.self ?? copy.self;
  return {
    outbox: { all: () => Promise.resolve({ entries, photos }) },
    self: {
      device: self?.device ?? read.entries[0]?.device ?? "unknown",
      token: self?.token ?? "",
      author: self?.author ?? "",
      properties: self?.properties ?? [],
    },
    entries: entries.length,
    photos: photos.length,
    unreadable: [...read.unreadable].filter((id) => !found.has(id)).length,
  };
}

async function photosOf(backup: Backup, photos: readonly BackupPhoto[]): Promise<StoredPhoto[]> {
  const found: StoredPhoto[] = [];
  for (const { sha, size, features } of photos) {
    const bytes = await backup.bytes(photoKey(sha));
    if (bytes) found.push(stored(sha, size, features, bytes));
  }
  return found;
}

const stored = (sha: string, size: number, features: readonly string[], bytes: ArrayBuffer): StoredPhoto => ({
  sha,
  size,
  feature: features[0] ?? "",
  sent: false,
  bytes: () => Promise.resolve(bytes),
});

/** The records of a table: at once, or else one by one past those that cannot be read. */
async function all<T>(db: IDBDatabase, table: string): Promise<{ read: T[]; unreadable: string[] }> {
  const store = () => db.transaction(table).objectStore(table);
  try {
    return { read: await done<T[]>(store().getAll()), unreadable: [] };
  } catch {
    // one of them is damaged
  }
  const read: T[] = [];
  const unreadable: string[] = [];
  for (const key of await done(store().getAllKeys())) {
    await one<T>(db, table, key).then(
      (value) => value !== undefined && read.push(value),
      () => unreadable.push(String(key)),
    );
  }
  return { read, unreadable };
}

const one = async <T>(db: IDBDatabase, table: string, key: IDBValidKey): Promise<T | undefined> =>
  done<T | undefined>(db.transaction(table).objectStore(table).get(key));

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** Opens the database in whatever version it is; one that is not there is not made. */
function opened(name: string, patienceMS: number): Promise<IDBDatabase> {
  const request = indexedDB.open(name);
  request.onupgradeneeded = () => request.transaction!.abort();
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error("the browser does not answer")), patienceMS);
    done(request)
      .finally(() => clearTimeout(late))
      .then(resolve, reject);
  });
}
