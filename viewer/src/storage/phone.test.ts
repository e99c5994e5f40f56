// A phone for tests: the shipped store on a database in memory, and what else it finds in a
// browser. What kills, damage and a real disk do to it, viewer/fieldtest tries.

import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { createHash } from "node:crypto";
import type { Entry } from "../base/entry.ts";
import { withGlobals } from "../base/globals.test.ts";
import type { Folded, Unfolded } from "../compute/fold.ts";
import { answering, type BackupQuestion } from "./backupanswers.ts";
import { openStore, type PhoneStore, type StoreOptions } from "./phonestore.ts";
import type { Pulled, Receipt, Self } from "./store.ts";

export const property = "stony-block";
export const self = (device: string, ...more: Self["properties"]): Self => ({
  device,
  token: `token of ${device}`,
  author: "R. Field",
  properties: [{ id: property, name: "Stony Block" }, ...more],
});

/** Cache Storage, each cache a map of addresses to the bytes under them. */
class Caches {
  readonly all = new Map<string, Map<string, Uint8Array>>();

  async open(name: string) {
    const kept = this.all.get(name) ?? new Map<string, Uint8Array>();
    this.all.set(name, kept);
    return {
      put: async (address: string, response: Response) => void kept.set(address, new Uint8Array(await response.arrayBuffer())),
      match: async (address: string) => (kept.has(address) ? new Response(kept.get(address)! as Uint8Array<ArrayBuffer>) : undefined),
      keys: async () => [...kept.keys()].map((url) => ({ url })),
      delete: async (address: string) => kept.delete(address),
    };
  }
}

/** The channels of one test: what a page says, the other pages of the phone hear. */
const channelsOf = () => {
  const open: Channel[] = [];
  class Channel {
    onmessage: ((event: { data: unknown }) => void) | null = null;
    constructor(readonly name: string) {
      open.push(this);
    }
    postMessage(data: unknown) {
      for (const other of open) if (other !== this && other.name === this.name) other.onmessage?.({ data: structuredClone(data) });
    }
  }
  return Channel;
};

/** Runs the backup's worker here. */
class Worker {
  onmessage: ((event: { data: unknown }) => void) | null = null;
  readonly #answer = answering(
    (answer) => this.onmessage?.({ data: structuredClone(answer) }),
    () => undefined,
  );
  postMessage(question: BackupQuestion) {
    this.#answer(structuredClone(question));
  }
}

export class Phone {
  readonly slots = new Map<string, string>();
  readonly caches = new Caches();
  window = new EventTarget(); // of the page that was opened last
  readonly document = Object.assign(new EventTarget(), { visibilityState: "visible" });
  quotaBytes = 2 ** 40;
  kept = true;
  gathered = 0; // how often features were folded
  meanwhile: (() => Promise<unknown>) | undefined; // done once, while features are folded
  store!: PhoneStore;
  readonly #opened: PhoneStore[] = [];

  /** Another page, or the next opening of this one. */
  async open(options: Partial<StoreOptions> = {}): Promise<PhoneStore> {
    this.window = new EventTarget();
    this.store = await openStore({ gather: (features) => this.#gather(features), patienceMS: 0, reservedBytes: 1 << 10, ...options });
    this.#opened.push(this.store);
    return this.store;
  }

  /** Closes all pages: what they do late must not reach the next test's database. */
  close(): void {
    for (const store of this.#opened.splice(0)) {
      store.close();
      Object.assign(store.db, { open: () => new Promise(() => {}) });
    }
  }

  /** Leaves all pages, and lets what they had begun come to its end. */
  async leave(): Promise<void> {
    this.close();
    for (let i = 0; i < 20; i++) await new Promise((go) => setImmediate(go));
  }

  async #gather(features: readonly Unfolded[]): Promise<readonly Folded[]> {
    this.gathered++;
    const job = this.meanwhile;
    this.meanwhile = undefined;
    await job?.();
    return features.map(folded);
  }

  /** The browser has lost the database, and nothing else. */
  loseDatabase(): void {
    globalThis.indexedDB = new IDBFactory();
  }
}

/** Entries in the order of their stamps: without clashes the register's rule (sync/register) comes to that. */
export function folded({ feature, entries }: Unfolded): Folded {
  const all = entries.map(({ text }) => JSON.parse(text) as Entry).sort((a, b) => (a.stamp < b.stamp ? -1 : 1));
  const fields: { [name: string]: unknown } = {},
    saw: { [device: string]: number } = {};
  let struck = false;
  for (const { set, strike, device, deviceSeq } of all) {
    for (const [name, value] of Object.entries(set ?? {})) {
      if (value === null) delete fields[name];
      else fields[name] = value;
    }
    struck = strike ?? struck;
    saw[device] = Math.max(saw[device] ?? 0, deviceSeq);
  }
  return { feature, fields, struck, saw, stamp: all[all.length - 1]!.stamp };
}

/** Runs a test on a phone with nothing on it. */
export async function onPhone(job: (phone: Phone) => Promise<void>): Promise<void> {
  const phone = new Phone();
  const later = setTimeout;
  await withGlobals(
    {
      indexedDB: new IDBFactory(),
      location: { origin: "https://headcut.invalid" },
      localStorage: {
        getItem: (key: string) => phone.slots.get(key) ?? null,
        setItem: (key: string, text: string) => void phone.slots.set(key, text),
      },
      caches: phone.caches,
      navigator: {
        storage: {
          estimate: async () => ({ quota: phone.quotaBytes, usage: 0 }),
          persisted: async () => phone.kept,
          persist: async () => phone.kept,
        },
      },
      document: phone.document,
      addEventListener: (name: string, listener: () => void) => phone.window.addEventListener(name, listener),
      BroadcastChannel: channelsOf(),
      Worker,
      // What a page waits for in vain does not hold up the end of the tests.
      setTimeout: (run: () => void, ms: number) => (ms > 1_000 ? later(run, ms).unref() : later(run, ms)),
    },
    () => job(phone).finally(() => phone.leave()),
  );
}

const wait = setTimeout;

/** Waits until something is so. */
export async function until(so: () => boolean | Promise<boolean>): Promise<void> {
  for (const began = Date.now(); !(await so()); ) {
    if (Date.now() - began > 60_000) throw new Error(`it never came about: ${so}`);
    await new Promise((go) => wait(go, 1));
  }
}

const sha = (...parts: readonly Uint8Array[]): Buffer => {
  const hash = createHash("sha256");
  for (const part of parts) hash.update(part);
  return hash.digest();
};

/** A server's register of one property: its entries in the order in which they came, and their chain. */
export class Register {
  readonly texts: string[] = [];
  readonly chain: Buffer[] = [Buffer.alloc(32)];
  constructor(
    public epoch = "e1",
    readonly nowMS = () => Date.now(),
  ) {}

  /** Takes entries, and gives their receipts. */
  take(...texts: readonly string[]): Receipt[] {
    return texts.map((text) => {
      const { id, deviceSeq } = JSON.parse(text) as Entry;
      const known = this.texts.findIndex((t) => (JSON.parse(t) as Entry).id === id);
      if (known >= 0) return { id, n: known + 1, known: true, highSeq: deviceSeq };
      this.texts.push(text);
      this.chain.push(sha(this.chain[this.chain.length - 1]!, sha(Buffer.from(text))));
      return { id, n: this.texts.length, highSeq: deviceSeq };
    });
  }

  at(n = this.texts.length) {
    return { epoch: this.epoch, n, hash: this.chain[n]!.toString("hex") };
  }

  /** The entries after one, up to another. */
  page(after: number, to = this.texts.length): Pulled {
    const entries = this.texts.slice(after, to);
    return { first: entries.length > 0 ? after + 1 : 0, arrivedMS: entries.map(() => this.nowMS()), entries, at: this.at(to) };
  }
}

let made = 0;

/** An entry of somebody else's. */
export function entryOf(feature: string, set: object | undefined, more: Partial<Entry> = {}): string {
  const id = `other-${++made}`;
  const stamp = Date.now().toString(16).padStart(12, "0") + made.toString(16).padStart(4, "0");
  const entry = {
    v: 1,
    id,
    property,
    feature,
    device: "office",
    deviceSeq: made,
    stamp,
    seenAt: "2026-03-01T09:00:00+10:00",
    author: "O. Desk",
  };
  return JSON.stringify({ ...entry, ...(set && { set }), ...more });
}

/** The entry in a text. */
export const read = (text: string): Entry & { readonly steadyMS?: number } => JSON.parse(text) as Entry;
