// What a page asks of the phone's own store. phonestore.ts keeps it in IndexedDB; nothing
// outside this folder touches the database.

import type { Entry, Feature, Fields } from "../base/entry.ts";
import type { Side } from "../compute/fold.ts";

/** Who this phone is to the server, from enrolment. */
export interface Self {
  readonly device: string;
  readonly token: string;
  readonly author: string;
  readonly properties: readonly Property[];
  /** By property, when it was last opened here, in milliseconds: the officer works on the newest. */
  readonly opened?: { readonly [property: string]: number };
}

export interface Property {
  readonly id: string;
  readonly name: string; // "" of one that is on the phone and that nobody has named
  /** Begun by a phone with no signal, and not accepted by the office yet. */
  readonly begun?: boolean;
  /** The property that it was merged into: its features are shown as that one's. */
  readonly into?: string;
  /** The office has not given this phone the right to it, or has taken it: what is recorded stays here. */
  readonly barred?: boolean;
}

/** How it stands with a property on this phone. */
export interface PropertyState {
  readonly property: Property;
  readonly unsent: number; // entries
  readonly photosUnsent: number;
  readonly recorded: Date | null; // when something was last recorded on it here
  readonly near: readonly (readonly [number, number])[]; // some of its places, longitude first
  readonly begunWork: boolean; // a form, a book, a line or a photo waits to be finished
}

/**
 * What a code is redeemed with. It is on the phone's disk before the server is asked, so that
 * the same can be asked again, and is granted again, when the answer was lost.
 */
export interface Asking {
  readonly code: string;
  readonly device: string; // a new id, or the phone's own when a code adds properties to it
  readonly token: string; // the device's secret, made here
  /** Who the phone was before, when it asks under a new id. */
  readonly former?: { readonly device: string; readonly token: string };
}

/** One thing to record. Several recorded together are saved together or not at all. */
export interface Draft {
  readonly feature?: string; // a new feature when not given
  readonly set?: Fields;
  readonly strike?: boolean;
  /** Original bytes; their SHA-256 is added to the feature's field "photos". */
  readonly photo?: PhotoBytes;
  /** When it was seen, if not now: from the device's clock, with its offset. */
  readonly seenAt?: Date;
}

export interface PhotoBytes {
  readonly bytes: ArrayBuffer; // JPEG, at most 8 MB
  readonly takenFor: string; // feature
}

export interface Saved {
  readonly feature: string;
  readonly entry: string; // id
}

/** An entry as it is on this phone. */
export interface Recorded {
  readonly entry: Entry;
  readonly savedMS: number; // by this phone's clock, the same for all that was saved together; 0 when another device's
  readonly waits: boolean; // not sent yet
  readonly refused: boolean; // by the server
}

/** Numbers the page shows all the time. They are read back from the store, not counted by the page. */
export interface Counts {
  readonly entries: number; // on this phone, of all properties
  readonly unsent: number;
  readonly refused: number;
  readonly photosUnsent: number;
  readonly photoBytesUnsent: number;
  readonly oldestUnsent: Date | null; // when the oldest entry or photo of them was recorded
}

export interface Refusal {
  readonly entry: string; // id
  readonly feature: string;
  readonly why: string;
}

/** A clash with both sides in full. */
export interface Disagreement {
  readonly field: string;
  readonly sides: readonly (Side & { readonly set: Fields; readonly before: Fields })[]; // all that the side's entry sets, and what entries before it had set
}

/** A photo on the phone. */
export interface StoredPhoto {
  readonly sha: string;
  readonly feature: string;
  readonly size: number;
  readonly sent: boolean;
  bytes(): Promise<ArrayBuffer>;
}

/** Why nothing could be saved, in words for the officer. */
export class StorageError extends Error {
  constructor(
    readonly kind: "full" | "closed" | "gone" | "behind" | "damaged" | "other-tab" | "not-enrolled" | "invalid",
    message: string,
    readonly todo: string,
  ) {
    super(message);
  }
}

/** What a second copy, outside of the database, has of that which the server has not. */
export interface Copied {
  readonly entries: number;
  readonly photos: number;
  readonly drafts: number; // what is being written
}

/** Whether the store has lost something, which its copy may have. */
export const hasLost = (trouble: StorageError | null): boolean => trouble?.kind === "gone" || trouble?.kind === "behind";

export interface Store {
  self(): Self | null;
  /**
   * Why nothing can be recorded now, to be shown as long as it lasts; null when all is
   * well. After "gone" and "behind" enrolling under a new device id is the way on.
   */
  trouble(): StorageError | null;
  /** Another phone writes under this phone's device id: it must be enrolled again. Nothing is lost by that. */
  cloned(): boolean;
  /** What was asked for and has not been granted; null when nothing waits for an answer. */
  asked(): Promise<Asking | null>;
  /**
   * Gives what to redeem this code with: what it was asked with before, else who the phone is,
   * to which the code then adds its properties; or a new id where again is true, or the phone
   * is nobody yet. It is on the disk then.
   */
  asking(code: string, again: boolean): Promise<Asking>;
  /**
   * It resolves when that is on the disk, and its copy with it. Under another device id than
   * before, what is unsent goes over to it.
   */
  enrol(self: Self): Promise<void>;

  /** Begins a property with no signal. It resolves when that is on the disk; the office learns of it at the next connection. */
  beginProperty(name: string): Promise<Property>;
  /** Notes which property the officer works on now. */
  openProperty(id: string): Promise<void>;
  /** How it stands with each property, in the order of self(). */
  properties(): Promise<readonly PropertyState[]>;

  /** What could be brought back after "gone" or "behind"; null when there is no copy. */
  copied(): Promise<Copied | null>;
  /** Puts the copy in the place of what was lost, and goes on as the same device: it needs no signal. */
  bringBack(): Promise<void>;

  /**
   * Records drafts in one strict transaction: entries, photo bytes, deviceSeq and the
   * features as they then stand. It resolves on the transaction's complete event, never
   * before: only then may the page say "saved".
   */
  capture(property: string, drafts: readonly Draft[]): Promise<readonly Saved[]>;

  features(property: string): Promise<readonly Feature[]>;
  feature(id: string): Promise<Feature | undefined>;
  /** The clashes of a feature, each side with who and when, and what else its entry set. It waits for the computations. */
  clashes(feature: string): Promise<readonly Disagreement[]>;
  photos(feature: string): Promise<readonly StoredPhoto[]>;
  counts(): Promise<Counts>;
  /** What was recorded on this phone, for a property and those merged into it, since a moment by its own clock, oldest first. */
  recordedSince(property: string, since: Date): Promise<readonly Recorded[]>;
  /** Every entry about a feature that is on this phone and was not refused, in the order of their stamps. */
  history(feature: string): Promise<readonly Recorded[]>;
  /** What the server did not take, and why. */
  refusals(): Promise<readonly Refusal[]>;

  /** Keystrokes not yet recorded: a level book being written, an open form. */
  keepDraft(key: string, value: unknown): Promise<void>;
  draft<T>(key: string): Promise<T | undefined>;
  /** All drafts whose keys begin so, by what follows in the key. */
  draftsUnder<T>(prefix: string): Promise<ReadonlyMap<string, T>>;
  dropDraft(key: string): Promise<void>;
  /** Keeps several, and drops those that are undefined: all of it or nothing. */
  keepDrafts(drafts: ReadonlyMap<string, unknown>): Promise<void>;

  /** Called after every change of what is stored, by this page or by sync. */
  watch(changed: () => void): () => void;
  /** Whether something has been stored that the watchers were not called for yet. */
  untold(): boolean;

  /** The sender's side. */
  readonly outbox: Outbox;
}

/** A page of the register as the server numbered it. */
export interface Pulled {
  readonly first: number;
  readonly arrivedMS: readonly number[];
  readonly entries: readonly string[];
  readonly at: Position;
}

export interface Position {
  readonly epoch: string;
  readonly n: number;
  readonly hash: string;
}

export interface Receipt {
  readonly id: string;
  readonly n?: number;
  readonly known?: boolean;
  readonly refused?: string;
  readonly cloned?: boolean;
  readonly highSeq: number;
  readonly clockOffS?: number;
}

export interface Outbox {
  /** Takes in what the server says of properties: all that this phone may reach, or one of them. */
  told(about: readonly Property[], all: boolean): Promise<void>;
  /**
   * The oldest unsent entries of a property, in order, as their exact texts, but for those
   * to skip, which are on their way already.
   */
  waiting(
    property: string,
    atMost: number,
    atMostBytes: number,
    skip?: ReadonlySet<string>,
  ): Promise<readonly { id: string; text: string }[]>;
  /** A cloned receipt leaves its entry here: the phone must enrol under a new device id. */
  settle(property: string, receipts: readonly Receipt[]): Promise<void>;
  position(property: string): Promise<Position | undefined>;
  /** All of the pages or nothing; it rejects when they do not follow the position or do not give the chain hash. */
  apply(property: string, pages: readonly Pulled[]): Promise<void>;
  /** The server's register is another than this phone's position says: go on from the first mark that is ours. Photos wait until it says that it has them. */
  fork(property: string, marks: readonly Position[]): Promise<void>;
  /** After a fork or a new device id: ask what the server lacks before the next push, until resendDone() was said. */
  resendDue(property: string): Promise<boolean>;
  resendDone(property: string): Promise<void>;
  /** Ids of this phone's own entries that were not refused, oldest first, for asking whether the server has them. */
  acknowledged(property: string): Promise<readonly string[]>;
  /** Ids of those of them that the server has acknowledged and that were not among what was fetched from it. */
  unreturned(property: string): Promise<readonly string[]>;
  /** Puts what the server lacks into the outbox, and takes out of it what was asked about and is there. */
  offerAgain(property: string, lacking: readonly string[], asked?: readonly string[]): Promise<void>;
  photosWaiting(): Promise<readonly StoredPhoto[]>;
  photoSent(sha: string): Promise<void>;
  /** Has those of these photos wait again that are on this phone: the server does not have them any more. */
  photosWanted(shas: readonly string[]): Promise<void>;
  /** Every entry and photo not acknowledged, refused entries too, for a file carried by hand. */
  all(): Promise<{ entries: readonly { property: string; text: string }[]; photos: readonly StoredPhoto[] }>;
}

export type { Entry };
