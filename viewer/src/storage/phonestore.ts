// The phone's own store, in IndexedDB. What it promises is in store.ts.

import { device, storeName } from "../base/page.ts";
import type { Feature } from "../base/entry.ts";
import {
  type Asking,
  type Copied,
  type Disagreement,
  type Draft,
  hasLost,
  type Outbox,
  type Property,
  type PropertyState,
  type Recorded,
  type Refusal,
  type Saved,
  type Self,
  type Store,
  type StorageError,
  type StoredPhoto,
  type Counts,
} from "./store.ts";
import type { Gather } from "../compute/fold.ts";
import { ReservedSpace } from "./reservedspace.ts";
import { capture } from "./capture.ts";
import { Connection } from "./connection.ts";
import { Copy } from "./backupwrite.ts";
import { Drafts } from "./drafts.ts";
import { isAuthor, isID } from "./encode.ts";
import { asking, askedIn, enrol, troubleIn } from "./enrol.ts";
import { backUpWhatLacks, unsentRecords } from "./unsent.ts";
import { historyOf, recordedSince } from "./history.ts";
import { noCounters } from "./counters.ts";
import { Eviction } from "./eviction.ts";
import { HighWater } from "./highwater.ts";
import { outboxOf } from "./outbox.ts";
import { photosOf } from "./photos.ts";
import { clashes } from "./clashes.ts";
import { beginProperty, opened, partsOf, states, strays, told } from "./properties.ts";
import { refold } from "./refold.ts";
import { askToKeep } from "./persistence.ts";
import type { SelfRow, Step } from "./schema.ts";
import { Shown } from "./shown.ts";
import { Backup } from "./backup.ts";
import { entryKey, photoKey, selfRecord, backedUpIn } from "./backuprecords.ts";
import { restoreAll, bringBytes } from "./restore.ts";
import { counts } from "./counts.ts";
import { gone, invalid, notEnrolled, otherTab, storageErrorOf } from "./errors.ts";
import { Writer } from "./writer.ts";

export interface StoreOptions {
  /** Folds features when entries of others have come: model.gather. It may wait for the computations to load. */
  readonly gather: Gather;
  readonly name?: string; // of the database
  readonly steps?: readonly Step[]; // the database's versions
  readonly now?: () => Date; // the phone's clock
  readonly patienceMS?: number; // for another page to let go before it is called open twice
  readonly reservedBytes?: number; // held back while there is room, for entries once there is none
}

/** Opens the store. It opens in every case: what is wrong with it, trouble() tells. */
export async function openStore(options: StoreOptions): Promise<PhoneStore> {
  const name = options.name ?? storeName;
  const marks = new HighWater(name),
    loading = marks.load();
  if (!marks.any) await loading; // whether there must be a database is not known yet
  const db = new Connection(name, marks.any, options.steps);
  db.open().catch(() => undefined); // meanwhile; who uses it is told what is wrong
  await loading;
  const store = new PhoneStore(db, marks, options);
  await store.begin(options.patienceMS ?? 500);
  // A page that was left may be kept whole, for the way back; it must not hold on to the store.
  addEventListener("pagehide", () => store.close());
  addEventListener("pageshow", (e) => void (e.persisted && store.begin(0)));
  return store;
}

/** After which nobody waits for the first screen any more. */
const calmMS = 3_000;

export class PhoneStore implements Store {
  readonly outbox: Outbox;
  #self: SelfRow | null = null;
  #trouble: StorageError | null = null; // of the database itself
  #reserved: ReservedSpace;
  #drafts: Drafts;
  #shown: Shown;
  #backup: Backup;
  #eviction: Eviction;
  readonly #underWay = new Set<string>(); // keys of what is captured and not copied yet
  #writer: Writer;
  #away = false; // closed, or left for another page
  #now: () => Date;
  #gather: Gather;

  constructor(
    readonly db: Connection,
    readonly marks: HighWater,
    options: StoreOptions,
  ) {
    this.#reserved = new ReservedSpace(db, options.reservedBytes ?? 5 << 20);
    this.#backup = new Backup(db.name);
    this.#drafts = new Drafts(db, this.#backup);
    this.#eviction = new Eviction(this.#reserved, this.#backup);
    this.#writer = new Writer(db.name);
    this.#gather = options.gather;
    this.#now = options.now ?? (() => new Date());
    this.#shown = new Shown(db, () => (this.#away ? undefined : this.#lookAgain()));
    this.outbox = outboxOf({
      db,
      gather: options.gather,
      reading: (job) => this.#telling(job),
      writing: (job) => this.#writing(job),
      changed: (features) => this.#changed(features),
      told: (about, all) => this.#told(about, all),
      cloned: () => this.#lookAgain(),
      again: () => {
        this.#refold();
        this.#copy(true);
      },
      room: () => this.#reserved.take(),
      notYet: (entry) => this.#underWay.has(entryKey(entry)), // the server must not know a number that only the database has
      sent: (entries, photos) => void this.#backup.drop([...entries.map(entryKey), ...photos.map(photoKey)]),
    });
  }

  /** Looks what there is, and asks to be the one page that records. */
  async begin(patienceMS: number): Promise<void> {
    this.#away = false;
    let looking: Promise<void> | undefined;
    await this.#writer.ask(patienceMS, () => (looking = this.#taken()));
    await (looking ?? this.#lookAgain()); // however long it takes: until then nobody knows what is here
  }

  /** This page is now the one that records, or records for another device id. */
  async #taken(): Promise<void> {
    await this.#lookAgain();
    this.#shown.forget();
    this.#shown.tell();
    if (this.#trouble || !this.#self) return;
    this.#backup.begin();
    void askToKeep();
    void this.#reserved.take().catch(() => undefined); // tried again when there is news of room
    this.#refold();
    setTimeout(() => this.#copy(false), calmMS);
  }

  trouble(): StorageError | null {
    if (this.#trouble) return this.#trouble;
    return this.#writer.held ? null : otherTab();
  }

  self(): Self | null {
    return this.#self;
  }

  cloned(): boolean {
    return this.#self?.cloned ?? false;
  }

  asked(): Promise<Asking | null> {
    return askedIn(this.db).catch(() => null); // a store that is lost or closed tells that itself
  }

  async asking(code: string, again: boolean): Promise<Asking> {
    this.#mayEnrol();
    const backedUp = hasLost(this.#trouble) ? backedUpIn(await this.#backup.all()).self : null;
    return this.#telling(() => asking(this.db, code, again || this.#trouble !== null, backedUp));
  }

  async enrol(self: Self): Promise<void> {
    if (!isID(self.device) || !self.properties.every((p) => isID(p.id))) {
      throw invalid("The server's answer to the enrolment cannot be read.", "Ask the office for a new code.");
    }
    if (!isAuthor(self.author))
      throw invalid("The code came without your name, or with one that is too long.", "Ask the office for a code with your name.");
    if (this.#trouble && self.device === this.#self?.device) {
      throw invalid(`This ${device}'s device number is already in use.`, "Enrol it with a new code.");
    }
    this.#mayEnrol();
    const backedUp = hasLost(this.#trouble) ? backedUpIn(await this.#backup.all()) : null;
    await this.#telling(async () => {
      if (backedUp) await bringBytes(this.db, this.#backup, backedUp);
      await enrol(this.db, self, backedUp);
    });
    this.marks.begin(self.device);
    await this.#taken();
    await this.#backup.keep([selfRecord(this.#self ?? self)]); // with the properties that it had: the code does not name those
    this.#copy(true);
  }

  #mayEnrol(): void {
    if (!this.#writer.held) throw otherTab();
    if (this.#trouble?.kind === "damaged") throw this.#trouble;
    if (this.#trouble?.kind === "gone") this.db.allowNew();
  }

  async copied(): Promise<Copied | null> {
    if (this.#writer.held) return this.#backup.count();
    const backup = new Backup(this.db.name, true); // another page writes it
    const count = await backup.count();
    backup.close();
    return count;
  }

  async bringBack(): Promise<void> {
    if (!this.#writer.held) throw otherTab();
    if (!hasLost(this.#trouble)) return;
    const backedUp = backedUpIn(await this.#backup.all()),
      { self } = backedUp;
    if (!self) throw this.#trouble;
    if (this.#trouble?.kind === "gone") this.db.allowNew();
    await this.#telling(() => restoreAll(this.db, this.#backup, self, backedUp, this.marks));
    await this.#taken();
    this.#copy(true);
  }

  beginProperty(name: string): Promise<Property> {
    return this.#writing(async () => {
      const property = await beginProperty(this.db, name, this.#now());
      await this.#changedSelf();
      return property;
    });
  }

  openProperty(id: string): Promise<void> {
    return this.#writing(async () => {
      const now = await opened(this.db, id, this.#now());
      if (this.#self) this.#self = { ...this.#self, opened: now };
    });
  }

  properties(): Promise<readonly PropertyState[]> {
    return this.#telling(() => states(this.db, this.#self?.properties ?? []));
  }

  async #told(about: readonly Property[], all: boolean): Promise<void> {
    if (await this.#writing(() => told(this.db, about, all))) await this.#changedSelf();
  }

  /** The phone is on other properties than before. */
  async #changedSelf(): Promise<void> {
    await this.#lookAgain();
    if (this.#self) await this.#backup.keep([selfRecord(this.#self)]);
    this.#shown.tell();
  }

  capture(property: string, drafts: readonly Draft[]): Promise<readonly Saved[]> {
    return this.#writing(async () => {
      if (!this.#self) throw notEnrolled();
      if (!isID(property)) throw invalid("The property is not known.", "Choose a property.");
      const copy = new Copy(this.#backup, this.#underWay),
        now = this.#now();
      const done = await this.#eviction.forCapture(
        drafts.some((d) => d.photo),
        () => copy.of((copying) => capture(this.db, this.marks, property, drafts, now, copying)),
      );
      await copy.made();
      for (const [home, seq] of done.seqs) this.marks.raise(done.device, home, seq);
      this.#changed(done.features);
      return done.saved;
    });
  }

  features(property: string): Promise<readonly Feature[]> {
    return this.#telling(async () =>
      (await Promise.all(partsOf(this.#self?.properties ?? [], property).map((part) => this.#shown.all(part)))).flat(),
    );
  }

  feature(id: string): Promise<Feature | undefined> {
    return this.#telling(() => this.db.read((open) => open.get("features", id)));
  }

  async clashes(feature: string): Promise<readonly Disagreement[]> {
    return clashes(this.db, this.#gather, feature); // which waits for the computations: no trouble of the store
  }

  photos(feature: string): Promise<readonly StoredPhoto[]> {
    return this.#telling(() => photosOf(this.db, feature));
  }

  counts(): Promise<Counts> {
    return this.#telling(() => counts(this.db));
  }

  recordedSince(property: string, since: Date): Promise<readonly Recorded[]> {
    return this.#telling(() => recordedSince(this.db, partsOf(this.#self?.properties ?? [], property), since.getTime()));
  }

  history(feature: string): Promise<readonly Recorded[]> {
    return this.#telling(() => historyOf(this.db, feature));
  }

  refusals(): Promise<readonly Refusal[]> {
    return this.#telling(() =>
      this.db.read(async (open) =>
        (await open.getAllFromIndex("entries", "refused")).map((e) => ({ entry: e.id, feature: e.feature, why: e.refused ?? "" })),
      ),
    );
  }

  keepDraft(key: string, value: unknown): Promise<void> {
    return this.keepDrafts(new Map([[key, value ?? null]]));
  }

  draft<T>(key: string): Promise<T | undefined> {
    return this.#telling(() => this.#drafts.read<T>(key));
  }

  draftsUnder<T>(prefix: string): Promise<ReadonlyMap<string, T>> {
    return this.#telling(() => this.#drafts.readUnder<T>(prefix));
  }

  dropDraft(key: string): Promise<void> {
    return this.keepDrafts(new Map([[key, undefined]]));
  }

  keepDrafts(drafts: ReadonlyMap<string, unknown>): Promise<void> {
    return this.#writing(() => this.#eviction.beforeCopies(() => this.#drafts.keep(drafts)));
  }

  watch(changed: () => void): () => void {
    return this.#shown.watch(changed);
  }

  untold(): boolean {
    return this.#shown.untold;
  }

  /** Closes the database and lets another page record, until begin(). */
  close(): void {
    this.#away = true;
    this.#backup.close();
    this.#writer.release();
    this.db.close();
  }

  async #lookAgain(): Promise<void> {
    const highest = this.marks.now; // before the database is read: what is recorded meanwhile raises it
    try {
      const [self, counters] = await this.db.read((open) => Promise.all([open.get("selves", "self"), open.get("ledger", "ledger")]));
      this.#self = self ? { ...self, properties: [...self.properties, ...(await strays(this.db, self))] } : null;
      this.#trouble = troubleIn(highest, this.#self, counters ?? noCounters) ?? (self ? null : await this.#copiedButGone());
    } catch (e) {
      this.#trouble = storageErrorOf(e);
    }
  }

  /** A phone with no mark of an enrolment may have been killed just after one: the copy knows. */
  async #copiedButGone(): Promise<StorageError | null> {
    return (await this.#backup.count()) ? gone() : null;
  }

  async #writing<T>(job: () => Promise<T>): Promise<T> {
    const trouble = this.trouble();
    if (trouble && trouble.kind !== "closed") throw trouble;
    return this.#telling(job);
  }

  /** Runs a job and tells what goes wrong as trouble. */
  async #telling<T>(job: () => Promise<T>): Promise<T> {
    try {
      const done = await job();
      if (this.#trouble?.kind === "closed") this.#trouble = null;
      return done;
    } catch (e) {
      const trouble = storageErrorOf(e);
      if (trouble.kind === "gone" || trouble.kind === "behind" || trouble.kind === "damaged") {
        this.#trouble = trouble;
        this.#shown.tell();
      }
      throw trouble;
    }
  }

  /** Brings the backup in step with the database, when nobody waits for anything. */
  #copy(relabelled: boolean): void {
    const self = this.#self;
    if (self && !this.trouble()) void backUpWhatLacks(this.#backup, () => unsentRecords(this.db, self, relabelled)).catch(() => undefined); // tried again at the next start
  }

  #refold(): void {
    refold(this.db, this.#gather, (feature) => this.#changed([feature])).catch(() => undefined); // what is to be folded stays noted
  }

  #changed(features: readonly Feature[]): void {
    this.#shown.change(features);
    this.#shown.tell();
  }
}
