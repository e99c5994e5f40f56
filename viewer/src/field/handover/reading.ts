// Reads what the server does not have out of the phone's database without opening the store:
// nothing is written, no version is asked for, no new database is made, and what cannot be
// read does not hold back the rest.

import type { Outbox, ShelvedPhoto } from "../shelf.ts";
import type { HeldEntry, HeldPhoto, HeldSelf } from "../shelf/schema.ts";

/** What could be read, as makeFile takes it. */
export interface Rescued {
  readonly outbox: Pick<Outbox, "all">;
  readonly self: { readonly device: string; readonly author: string };
  readonly entries: number;
  readonly photos: number;
  readonly unreadable: number; // records that the browser does not give out
}

/** It rejects when the browser gives out nothing at all. */
export async function readRescued(name = "headcut", patienceMS = 15_000): Promise<Rescued> {
  const db = await opened(name, patienceMS);
  try {
    return await reading(db);
  } finally {
    db.close();
  }
}

async function reading(db: IDBDatabase): Promise<Rescued> {
  const held = await all<HeldEntry>(db, "entries");
  const mine = held.read.filter((e) => e.waiting || e.refused !== undefined).sort((a, b) => (a.mine?.[1] ?? 0) - (b.mine?.[1] ?? 0));
  const named = await all<HeldPhoto>(db, "photos");
  const photos: ShelvedPhoto[] = [];
  let lost = 0;
  for (const { sha, size, features } of named.read.filter((p) => p.waiting !== undefined)) {
    const bytes = await one<ArrayBuffer>(db, "photoBytes", sha).catch(() => undefined);
    if (bytes) photos.push({ sha, size, feature: features[0] ?? "", sent: false, bytes: () => Promise.resolve(bytes) });
    else lost++;
  }
  return {
    outbox: { all: () => Promise.resolve({ entries: mine.map(({ property, text }) => ({ property, text })), photos }) },
    self: await whose(db, mine[0]),
    entries: mine.length,
    photos: photos.length,
    unreadable: held.unreadable + named.unreadable + lost,
  };
}

async function whose(db: IDBDatabase, entry: HeldEntry | undefined): Promise<{ device: string; author: string }> {
  const self = await one<HeldSelf>(db, "selves", "self").catch(() => undefined);
  return { device: self?.device ?? entry?.device ?? "unknown", author: self?.author ?? "" };
}

/** The records of a table: at once, or else one by one past those that cannot be read. */
async function all<T>(db: IDBDatabase, table: string): Promise<{ read: T[]; unreadable: number }> {
  const store = () => db.transaction(table).objectStore(table);
  try {
    return { read: await done<T[]>(store().getAll()), unreadable: 0 };
  } catch {
    // one of them is damaged
  }
  const read: T[] = [];
  let unreadable = 0;
  for (const key of await done(store().getAllKeys())) {
    await one<T>(db, table, key).then((value) => value !== undefined && read.push(value), () => unreadable++);
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
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name);
    const late = setTimeout(() => reject(new Error("the browser does not answer")), patienceMS);
    request.onupgradeneeded = () => request.transaction!.abort();
    request.onerror = () => (clearTimeout(late), reject(request.error));
    request.onsuccess = () => (clearTimeout(late), resolve(request.result));
  });
}
