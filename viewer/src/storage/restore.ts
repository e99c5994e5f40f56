// Puts what the database has lost back from the backup.

import type { Entry } from "../base/entry.ts";
import type { Self } from "./store.ts";
import { request, type Connection, type Writing } from "./connection.ts";
import { Counted } from "./counters.ts";
import type { HighWater } from "./highwater.ts";
import { overlay, unknownFeature } from "./overlay.ts";
import { markStale } from "./refold.ts";
import { relabel } from "./relabel.ts";
import { unsentRow } from "./sent.ts";
import type { Table } from "./schema.ts";
import type { Backup } from "./backup.ts";
import { draftKey, photoKey, type InBackup, type BackupEntry, type BackupPhoto } from "./backuprecords.ts";

/** The tables that a transaction must cover for restore. */
export const restoredTables: readonly Table[] = ["entries", "features", "notes", "ledger", "photos", "photoBytes", "drafts"];

/**
 * Goes on as the same device with what the copy holds. It needs no signal: how far that
 * device had counted is known from the marks and from the copy.
 */
export async function restoreAll(db: Connection, backup: Backup, self: Self, backedUp: InBackup, marks: HighWater): Promise<void> {
  await bringBytes(db, backup, backedUp);
  await db.write(["selves", ...restoredTables], async (tx) => {
    const counted = await Counted.in(tx);
    await restore(counted, backedUp);
    const waiting = await tx.objectStore("entries").index("waiting").getAll();
    const properties = new Set([...self.properties.map((p) => p.id), ...waiting.map((e) => e.property), ...marks.properties(self.device)]);
    for (const property of properties) {
      const own = waiting.filter((e) => e.device === self.device && e.property === property).map((e) => e.seq);
      const copied = backedUp.seqs.filter((s) => s.device === self.device && s.property === property).map((s) => s.seq);
      counted.atLeast(property, Math.max(marks.high(self.device, property), ...own, ...copied));
      request(tx.objectStore("notes").put(true, `doubt/${property}`)); // some may have arrived: ask before sending
    }
    for (const entry of waiting) await relabel(counted, entry, self.device);
    counted.close();
    request(tx.objectStore("selves").put(self, "self"));
  });
}

/**
 * Brings the bytes of photos and drafts, one after the other, as a phone cannot hold all of
 * them at once. Until the records come with restore nothing points to them.
 */
export async function bringBytes(db: Connection, backup: Backup, { photos, byteDrafts }: InBackup): Promise<void> {
  const bring = async (table: "photoBytes" | "drafts", key: string, from: string) => {
    const bytes = await backup.bytes(from);
    if (bytes) await db.write([table], async (tx) => request(tx.objectStore(table).put(bytes, key)));
  };
  for (const { sha } of photos) await bring("photoBytes", sha, photoKey(sha));
  for (const key of byteDrafts) await bring("drafts", key, draftKey(key));
}

/** Brings back the rest, as far as the database lacks it. Enrolling again gives the entries their new device id then. */
export async function restore(counted: Counted, { entries, photos, drafts }: InBackup): Promise<void> {
  for (const entry of entries) await takeEntry(counted, entry);
  for (const photo of photos) await takePhoto(counted, photo);
  for (const [key, value] of drafts) await takeDraft(counted.tx, key, value);
}

async function takeEntry(counted: Counted, { id, property, text }: BackupEntry): Promise<void> {
  const entries = counted.tx.objectStore("entries"),
    features = counted.tx.objectStore("features");
  if ((await entries.count(id)) > 0) return;
  const e = { ...(JSON.parse(text) as Entry), id, property };
  counted.entry(undefined, unsentRow(e, text, counted.nextPlace(), Date.parse(e.seenAt) || 0));
  request(features.put(overlay((await features.get(e.feature)) ?? unknownFeature(e.feature, property), e)));
  markStale(counted.tx, e.feature);
}

async function takePhoto(counted: Counted, { sha, features, size }: BackupPhoto): Promise<void> {
  const photos = counted.tx.objectStore("photos");
  if ((await photos.count(sha)) > 0 || (await counted.tx.objectStore("photoBytes").count(sha)) === 0) return;
  counted.photo(undefined, { sha, features, size, waiting: counted.nextPlace() });
}

async function takeDraft(tx: Writing, key: string, value: unknown): Promise<void> {
  request(tx.objectStore("drafts").put(value, key)); // the copy is never older than the database
}
