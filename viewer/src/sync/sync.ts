// The link to the server: it sends when the page is open and in sight, by itself when there
// is something to send or signal returns, and on demand. Never in the background: browsers
// do not allow it dependably.

import { StorageError, type Self, type Store } from "../storage/store.ts";
import { Signal } from "./signal.ts";
import { Counting, type Numbers } from "./counting.ts";
import { Conversation } from "./conversation.ts";
import { Load } from "./frames.ts";
import { recall, remember } from "./memory.ts";
import { PartSize } from "./photoparts.ts";
import { Photos } from "./photos.ts";
import { Reconnect } from "./reconnect.ts";
import { SmallPhotos } from "./smallphotos.ts";
import { begin, type Facts, type Sync, type SyncEvent, type SyncState, linkState, next, nothingWaits } from "./state.ts";
import { Connection } from "./connection.ts";
import { cloned, ConnectionLost, problemOf, Refusal, type NeverTaken } from "./errors.ts";

const refusedWaitMS = 600_000; // the office may give the rights back
const troubleWaitMS = 10_000; // until the phone's own store is looked at again
const complaintWaitMS = 60_000; // until what the server did not take is offered again
const onlineWithinMS = 1_000; // all phones of a place get their signal back together
const freshMS = 5_000; // so long ago an officer or a returning signal may have asked for haste

export interface SyncOptions {
  readonly origin?: string; // of the server; this page's
  readonly chance?: () => number; // in [0, 1): spreads reconnection
}

export function openSync(store: Store, options: SyncOptions = {}): Sync {
  const sync = new PhoneSync(store, options);
  void sync.run();
  return sync;
}

export class PhoneSync implements Sync {
  #facts: Facts = begin(recall());
  readonly #watchers = new Set<() => void>();
  readonly #signal = new Signal(); // something may be to do
  readonly #hurry = new Signal(); // do not wait with connecting
  readonly #again: Reconnect;
  readonly #load = new Load();
  readonly #part = new PartSize();
  readonly #never = new Map<string, NeverTaken>();
  readonly #origin: string;
  readonly #chance: () => number;
  readonly #counting: Counting;
  readonly #small: SmallPhotos;
  readonly #first = new Set<string>(); // properties that are fetched from their beginning
  #connection: Connection | null = null; // the connection, while there is one
  #photos: Photos | null = null; // of that connection
  #able = false; // enrolled, and the store is well
  #asked = true; // somebody waits for an answer: trying again by itself changes no words
  #closed = false;

  constructor(
    readonly store: Store,
    options: SyncOptions,
  ) {
    this.#origin = options.origin ?? location.origin;
    this.#chance = options.chance ?? Math.random;
    this.#again = new Reconnect(this.#chance);
    this.#small = new SmallPhotos(
      store,
      (loading) => this.#tell({ did: "fetching", loading }),
      () => this.#signal.ring(),
    );
    this.#counting = new Counting(
      store,
      (numbers) => this.#counted(numbers),
      () => this.#changed(),
    );
    addEventListener("online", () => setTimeout(() => this.#hasten(), this.#chance() * onlineWithinMS)); // a hint, no more
    document.addEventListener("visibilitychange", () => this.#seen());
  }

  state(): SyncState {
    return linkState({ ...this.#facts, counting: this.#facts.counting || this.store.untold() }, new Date());
  }

  watch(changed: () => void): () => void {
    this.#watchers.add(changed);
    return () => void this.#watchers.delete(changed);
  }

  sendNow(): void {
    this.#photos?.sendAll();
    this.#never.clear();
    this.#hasten();
  }

  #hasten(): void {
    this.#connection?.doubt(); // it may be dead without anybody having noticed
    this.#asked = true;
    this.#hurry.ring();
    this.#signal.ring();
    this.#photos?.hurry();
  }

  /** Ends the link, as when another takes its place. */
  close(): void {
    this.#closed = true;
    this.#hasten();
  }

  /** Connects, talks, and connects again after a cut, for as long as the page is open. */
  async run(): Promise<void> {
    while (!this.#closed) {
      const self = this.store.self();
      if (!self || document.visibilityState === "hidden") {
        await this.#hurry.wait();
        continue;
      }
      const waitMS = await this.#connectOnce(self);
      if (!this.#closed) await this.#hurry.wait(waitMS, freshMS);
    }
  }

  /** One connection, from trying to its end. It gives how long to wait before the next. */
  async #connectOnce(self: Self): Promise<number> {
    let connection: Connection | null = null,
      upMS = 0;
    try {
      if (this.store.cloned()) throw cloned();
      const trouble = this.store.trouble();
      if (trouble) throw trouble;
      if (this.#asked) this.#tell({ did: "trying" });
      this.#asked = false;
      const opened = await Connection.open({
        address: `${this.#origin.replace(/^http/, "ws")}/sync`,
        token: self.token,
        device: self.device,
        busy: () => (this.#photos?.busy ?? 0) > 0,
      });
      connection = this.#connection = opened;
      upMS = performance.now();
      this.#tell({ did: "welcomed", clockOffS: Math.round(opened.clockOffMS / 1000) });
      this.#remember();
      if (opened.welcome.version >= 2) await this.store.outbox.told(opened.welcome.about, true).catch(() => undefined); // a full phone learns of it later, and sends
      const conversation = this.#conversationOf(opened);
      const photos = (this.#photos = this.#photosOf(self, opened, conversation));
      await this.#live(self, opened, conversation, photos);
      return 0;
    } catch (e) {
      if (e instanceof Refusal && this.#isOther(self)) return 0; // it was told to who the phone was before it was enrolled again
      return await this.#ended(e, connection, upMS === 0 ? 0 : performance.now() - upMS);
    } finally {
      this.#connection = null;
      this.#photos?.stop();
      this.#photos = null;
      connection?.hangUp();
    }
  }

  async #live(self: Self, connection: Connection, conversation: Conversation, photos: Photos): Promise<void> {
    connection.onnews = () => this.#signal.ring();
    let complainedMS: number | null = null; // since when something is not taken, or since it was tried again
    for (;;) {
      await conversation.goOn();
      await this.#wanted(connection);
      await this.#counting.count();
      photos.goOn();
      const untaken = problemOf(anyOf(conversation.untaken) ?? photos.complaint),
        unkept = problemOf(anyOf(conversation.unkept));
      this.#tell({ did: "trouble", untaken, unkept });
      if (conversation.fetchedAll) {
        this.#first.clear();
        this.#tell({ did: "fetched" });
        if (nothingWaits(this.#facts.counts)) this.#acknowledged(connection.silentMS); // as of when it last spoke
        this.#small.goOn(connection);
      }
      complainedMS = (untaken ?? unkept) ? (complainedMS ?? performance.now()) : null;
      await this.#signal.wait(complainedMS === null ? undefined : complainedMS + complaintWaitMS - performance.now());
      if (complainedMS !== null && performance.now() - complainedMS >= complaintWaitMS) {
        complainedMS = null;
        conversation.tryAgain();
        photos.tryAgain();
      }
      if (this.#closed || this.#isOther(self)) return;
    }
  }

  /** Has photos sent again that the server does not have any more. */
  async #wanted(connection: Connection): Promise<void> {
    const photos = connection.wanted;
    if (photos.length === 0) return;
    connection.wanted = [];
    await this.store.outbox.photosWanted(photos).catch(() => undefined); // the server asks again another time
  }

  /** Whether the phone was enrolled again. */
  #isOther(self: Self): boolean {
    const now = this.store.self();
    return now?.token !== self.token || now.device !== self.device;
  }

  #conversationOf(connection: Connection): Conversation {
    for (const property of connection.welcome.properties) {
      void this.store.outbox.position(property).then(
        (at) => !at && this.#first.add(property),
        () => undefined,
      );
    }
    return new Conversation(
      connection,
      this.store.outbox,
      this.#load,
      () => this.store.self()?.properties ?? [],
      {
        acknowledged: () => this.#acknowledged(),
        fetched: (property, n, last) =>
          this.#tell({
            did: "fetching",
            loading: this.#first.has(property) ? { property, entries: n, ofEntries: last || null, photos: null } : null,
          }),
        refusedSome: async () => (await this.store.counts()).refused > 0,
      },
      () => this.#signal.ring(),
    );
  }

  #photosOf(self: Self, connection: Connection, conversation: Conversation): Photos {
    return new Photos(
      {
        origin: this.#origin,
        token: self.token,
        outbox: this.store.outbox,
        first: () => conversation.entriesFirst(),
        sent: () => this.#acknowledged(),
        broke: () => connection.probe(),
        refused: (why) => connection.fail(why),
        changed: () => this.#signal.ring(),
      },
      this.#part,
      this.#never,
    );
  }

  /** Takes note of how a connection ended, and gives how long to wait before the next. */
  async #ended(e: unknown, connection: Connection | null, upMS: number): Promise<number> {
    if (e instanceof Refusal && e.forGood) {
      this.#tell({ did: "refused", problem: e.problem });
      return refusedWaitMS;
    }
    this.#again.ended({ upMS, serverGone: e instanceof ConnectionLost && e.serverGone });
    const waitMS = this.#again.nextMS(connection?.later ?? null);
    this.#tell({ did: "lost", later: !!connection?.later, trouble: e instanceof ConnectionLost ? null : problemOf(e) });
    if (e instanceof StorageError) return troubleWaitMS;
    if (!connection?.later) return waitMS;
    await new Promise((resolve) => setTimeout(resolve, waitMS)); // the server asked for it: nothing cuts it short
    return 0;
  }

  #acknowledged(agoMS = 0): void {
    this.#tell({ did: "acknowledged", atMS: Date.now() - agoMS });
    this.#remember();
  }

  #remember(): void {
    const { lastSentMS, clockOffS } = this.#facts;
    remember({ lastSentMS, clockOffS });
  }

  /** Has what is new sent. What the page shows waits for the numbers. */
  #changed(): void {
    this.#facts = next(this.#facts, { did: "changed" });
    this.#signal.ring();
  }

  #counted(numbers: Numbers): void {
    this.#tell({ did: "counts", counts: numbers.counts, enrolled: numbers.enrolled, old: numbers.old });
    if (numbers.able && !this.#able) this.#hurry.ring();
    this.#able = numbers.able;
  }

  #seen(): void {
    if (document.visibilityState === "visible") this.#hasten();
  }

  #tell(event: SyncEvent): void {
    this.#facts = next(this.#facts, event);
    for (const watcher of this.#watchers) watcher();
  }
}

function anyOf(complaints: ReadonlyMap<string, unknown>): unknown {
  for (const complaint of complaints.values()) return complaint;
  return null;
}
