// What lies in the phone's database, and how an older one is brought up to date.
//
// Keys that lead an index are there only as long as what they say is true: an entry has
// "waiting" until the server has acknowledged it, so the index lists the outbox alone.

import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from "idb";
import type { Feature } from "../base/entry.ts";
import type { Position, Self } from "./store.ts";

/** Property and place: places rise with every capture and are never used twice. */
export type Place = [property: string, place: number];

export interface EntryRow {
  readonly id: string;
  readonly property: string;
  readonly feature: string;
  readonly device: string;
  readonly seq: number;
  readonly stamp: string;
  readonly text: string; // the exact text that is hashed
  readonly n: number; // 0 until it has come back from the register
  readonly arrivedMS: number; // 0 until then too
  readonly savedMS: number; // by this phone's clock; 0 when it is not this phone's
  readonly mine?: Place; // written on this phone
  readonly waiting?: Place; // no receipt yet
  readonly unsentOf?: string; // its feature, as long as it waits
  readonly refused?: string; // why the server did not take it
}

export interface PhotoRow {
  readonly sha: string;
  readonly features: readonly string[];
  readonly size: number; // bytes
  readonly waiting?: number; // place in the order of taking, until the server has it
}

export interface SelfRow extends Self {
  readonly cloned?: boolean; // another device writes under the same id
  readonly code?: string; // of one that is asked for: what it is asked with
}

/** What has been counted; counters.ts keeps it in step. */
export interface Counters {
  readonly place: number; // the last that was given
  readonly seqs: { readonly [property: string]: number }; // the last deviceSeq of the present device id
  readonly entries: number;
  readonly unsent: number;
  readonly refused: number;
  readonly photosUnsent: number;
  readonly photoBytesUnsent: number;
}

export interface Tables extends DBSchema {
  entries: {
    key: string;
    value: EntryRow;
    indexes: { feature: string; mine: Place; waiting: Place; unsentOf: string; refused: string };
  };
  features: { key: string; value: Feature; indexes: { property: string } };
  photos: { key: string; value: PhotoRow; indexes: { features: string; waiting: number } };
  photoBytes: { key: string; value: ArrayBuffer };
  line: { key: [property: string, n: number]; value: string }; // chain hash up to n
  selves: { key: string; value: SelfRow }; // one, under "self"; until it is granted, one under "asked"
  positions: { key: string; value: Position }; // by property
  notes: { key: string; value: true }; // "doubt/PROPERTY", "stale/FEATURE"
  ledger: { key: string; value: Counters }; // one, under "ledger": an older name, which phones hold
  drafts: { key: string; value: unknown };
  ballast: { key: string; value: ArrayBuffer }; // reserved space, under the name that phones hold
}

export type Table = StoreNames<Tables>;
export type Database = IDBPDatabase<Tables>;

/** Brings the database one version further. It only adds: an older page may still read. */
export type Step = (db: Database, upgrade: IDBPTransaction<Tables, Table[], "versionchange">) => void;

/** The step at i leads from version i to i + 1. */
export const steps: readonly Step[] = [
  (db) => {
    const entries = db.createObjectStore("entries", { keyPath: "id" });
    entries.createIndex("feature", "feature");
    entries.createIndex("mine", "mine");
    entries.createIndex("waiting", "waiting");
    entries.createIndex("unsentOf", "unsentOf");
    entries.createIndex("refused", "refused");
    db.createObjectStore("features", { keyPath: "id" }).createIndex("property", "property");
    const photos = db.createObjectStore("photos", { keyPath: "sha" });
    photos.createIndex("features", "features", { multiEntry: true });
    photos.createIndex("waiting", "waiting");
    for (const name of ["photoBytes", "line", "selves", "positions", "notes", "ledger", "drafts", "ballast"] as const) {
      db.createObjectStore(name);
    }
  },
];
