// What only this phone has, as the database holds it, for bringing the backup in step
// with it after a page was killed in between.

import type { Self } from "./store.ts";
import type { Connection } from "./connection.ts";
import { noCounters } from "./counters.ts";
import type { Backup } from "./backup.ts";
import type { Keeping } from "./backupcache.ts";
import { draftKey, draftRecord, entryKey, entryRecord, photoKey, photoRecord, selfRecord, seqRecord } from "./backuprecords.ts";

/** One thing that is to be in the copy. */
export interface UnsentRecord {
  readonly key: string;
  /** Whether the copy may have an older state of it. */
  readonly changes: boolean;
  /** Reads it; undefined when it is not held any more. */
  record(): Promise<Keeping | undefined>;
}

/** Everything that the server does not have, drafts, and who the phone is. relabelled: entries got other device ids. */
export function unsentRecords(db: Connection, self: Self, relabelled: boolean): Promise<readonly UnsentRecord[]> {
  return db.read(async (open) => {
    const [waiting, refused, photos, drafts, counters] = await Promise.all([
      open.getAllKeysFromIndex("entries", "waiting"),
      open.getAllKeysFromIndex("entries", "refused"),
      open.getAllKeysFromIndex("photos", "waiting"),
      open.getAllKeys("drafts"),
      open.get("ledger", "ledger"),
    ]);
    const seqs = Object.entries((counters ?? noCounters).seqs).map(([property, seq]) => seqRecord({ device: self.device, property, seq }));
    return [
      ...[selfRecord(self), ...seqs].map((record) => ({ key: record.key, changes: true, record: async () => record })),
      ...[...waiting, ...refused].map((id) => ({ key: entryKey(id), changes: relabelled, record: () => entry(db, id) })),
      ...photos.map((sha) => ({ key: photoKey(sha), changes: false, record: () => photo(db, sha) })),
      ...drafts.map((key) => ({ key: draftKey(key), changes: false, record: () => draft(db, key) })),
    ];
  });
}

const atOnce = 50; // entries, in one message

/** Gives the copy what it lacks, and takes away what is not held any more. */
export async function backUpWhatLacks(backup: Backup, all: () => Promise<readonly UnsentRecord[]>): Promise<void> {
  const copied = new Set(await backup.keys()); // first: what is captured meanwhile is not in it
  const now = await all();
  const names = new Set(now.map(({ key }) => key));
  await backup.drop([...copied].filter((key) => !names.has(key)));
  let batch: Keeping[] = [];
  for (const one of now) {
    if (copied.has(one.key) && !one.changes) continue;
    const record = await one.record();
    if (!record) continue;
    batch.push(record);
    if (!record.bytes && batch.length < atOnce) continue;
    await backup.keep(batch);
    batch = [];
  }
  await backup.keep(batch);
}

async function entry(db: Connection, id: string): Promise<Keeping | undefined> {
  const e = await db.read((open) => open.get("entries", id));
  return e && (e.waiting || e.refused !== undefined) ? entryRecord(e) : undefined;
}

async function photo(db: Connection, sha: string): Promise<Keeping | undefined> {
  const [p, bytes] = await db.read((open) => Promise.all([open.get("photos", sha), open.get("photoBytes", sha)]));
  return p?.waiting !== undefined && bytes ? photoRecord(sha, p.features, bytes) : undefined;
}

async function draft(db: Connection, key: string): Promise<Keeping | undefined> {
  const value = await db.read((open) => open.get("drafts", key));
  return value === undefined ? undefined : draftRecord(key, value);
}
