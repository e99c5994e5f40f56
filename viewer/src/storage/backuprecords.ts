// What the backup holds, as records of its journal and back.

import type { Entry } from "../base/entry.ts";
import { compare } from "../base/words.ts";
import type { Copied, Self } from "./store.ts";
import type { BackupRecord } from "./journal.ts";
import type { Keeping } from "./backupcache.ts";

export interface BackupEntry {
  readonly id: string;
  readonly property: string;
  readonly text: string; // the exact text that was saved
}

/** An entry as it was sent, and where its device counted it. */
interface Placed extends BackupEntry {
  readonly device: string;
  readonly seq: number;
}

export interface BackupPhoto {
  readonly sha: string;
  readonly features: readonly string[];
  readonly size: number;
}

/** How far a device id has counted on a property. */
export interface BackupSeq {
  readonly device: string;
  readonly property: string;
  readonly seq: number;
}

/** All that a copy holds. */
export interface InBackup {
  readonly self: Self | null;
  readonly seqs: readonly BackupSeq[];
  readonly entries: readonly BackupEntry[]; // of each property in the order of capture
  readonly photos: readonly BackupPhoto[];
  readonly drafts: ReadonlyMap<string, unknown>; // but those that are bytes
  readonly byteDrafts: readonly string[];
}

const prefix = { entry: "entry/", photo: "photo/", draft: "draft/", seq: "seq/" } as const;
export const selfKey = "self";
export const entryKey = (id: string): string => prefix.entry + id;
export const photoKey = (sha: string): string => prefix.photo + sha;
export const draftKey = (key: string): string => prefix.draft + key;

export const selfRecord = ({ device, token, author, properties }: Self): Keeping => ({
  key: selfKey,
  value: { device, token, author, properties },
});

export const entryRecord = ({ id, property, text }: BackupEntry): Keeping => ({ key: entryKey(id), value: { property, text } });

export const photoRecord = (sha: string, features: readonly string[], bytes: ArrayBuffer): Keeping => ({
  key: photoKey(sha),
  value: { features },
  bytes,
});

export const seqRecord = ({ device, property, seq }: BackupSeq): Keeping => ({
  key: `${prefix.seq}${device}/${property}`,
  value: seq,
  rises: true,
});

export const isSeq = (key: string): boolean => key.startsWith(prefix.seq);

export const draftRecord = (key: string, value: unknown): Keeping =>
  value instanceof ArrayBuffer ? { key: draftKey(key), value: null, bytes: value } : { key: draftKey(key), value };

/** How much records hold; null when they do not tell whose it is. */
export function copiedIn(records: Iterable<BackupRecord>): Copied | null {
  let self = false,
    entries = 0,
    photos = 0,
    drafts = 0;
  for (const { key } of records) {
    if (key === selfKey) self = true;
    else if (key.startsWith(prefix.entry)) entries++;
    else if (key.startsWith(prefix.photo)) photos++;
    else if (key.startsWith(prefix.draft)) drafts++;
  }
  return self ? { entries, photos, drafts } : null;
}

/** Reads records; what is not as it was written is passed over. */
export function backedUpIn(records: readonly BackupRecord[]): InBackup {
  const entries: Placed[] = [],
    photos: BackupPhoto[] = [],
    seqs: BackupSeq[] = [],
    byteDrafts: string[] = [];
  const drafts = new Map<string, unknown>();
  let self: Self | null = null;
  for (const { key, value, size } of records) {
    const of = rest(key),
      told = (value ?? {}) as { [name: string]: unknown };
    if (key === selfKey) self = value as Self;
    else if (key.startsWith(prefix.draft) && size !== undefined) byteDrafts.push(of);
    else if (key.startsWith(prefix.draft)) drafts.set(of, value);
    else if (key.startsWith(prefix.photo) && size !== undefined) photos.push({ sha: of, features: told["features"] as string[], size });
    else if (key.startsWith(prefix.seq)) seqs.push({ device: of.slice(0, of.indexOf("/")), property: rest(of), seq: value as number });
    else if (key.startsWith(prefix.entry)) entries.push(placed(of, told["property"] as string, told["text"] as string));
  }
  entries.sort((a, b) => compare(a.property, b.property) || compare(a.device, b.device) || a.seq - b.seq); // ids of one millisecond do not tell
  return { self, seqs, entries, photos, drafts, byteDrafts };
}

function placed(id: string, property: string, text: string): Placed {
  const { device, deviceSeq: seq } = JSON.parse(text) as Entry;
  return { id, property, text, device, seq };
}

const rest = (key: string): string => key.slice(key.indexOf("/") + 1);
