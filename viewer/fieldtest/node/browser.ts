// What the page's storage and sync find in a browser and Node has not: a place for files that
// outlives the process, workers, a clock that can be set, and the tab that they are in.
//
// Time passes faster here by a factor, for whoever waits or measures how long something took;
// the clock on the wall goes as it does outside.

import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { createHash } from "node:crypto";
import { basename, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { isMainThread, parentPort, Worker as Thread, workerData } from "node:worker_threads";

/** Where a device is, and what it is told at its start; its workers are given the same. */
export interface Place {
  readonly dir: string; // everything that it keeps
  readonly origin: string; // of the server
  readonly aheadMS: number; // its clock
  readonly faster: number; // time
  readonly uncomputed: boolean; // the files of the computations are not on the phone
  readonly seed: number; // of its waits between connections
  readonly foldMS: number; // how much longer its processor takes to fold, of its time
}

/** A worker's place, and its script. */
interface InWorker extends Place {
  readonly script: string;
}

/** Sets the clock on the wall. */
export let setClock: (aheadMS: number) => void;
/** Brings the files of the computations onto the phone. */
export let bringComputations: () => void;

const bundle = import.meta.url;

/** Makes this process, or thread, look like a browser to what runs in it. */
export function be(place: Place): void {
  const events = new EventTarget();
  give({
    self: globalThis,
    location: { origin: place.origin, href: `${place.origin}/field/` },
    navigator: {
      onLine: true,
      storage: { estimate: async () => ({ quota: 2 ** 40, usage: 0 }), persisted: async () => true, persist: async () => true },
    },
    document: Object.assign(new EventTarget(), { visibilityState: "visible" }),
    addEventListener: events.addEventListener.bind(events),
    removeEventListener: events.removeEventListener.bind(events),
    dispatchEvent: events.dispatchEvent.bind(events),
    localStorage: new Slots(join(place.dir, "localStorage")),
    caches: { open: async (name: string) => new Shelf(join(place.dir, "caches", encodeURIComponent(name))) },
    fetch: fetchFrom(place, fetch),
    Worker: class extends PageWorker {
      constructor(address: string | URL) {
        super(address, { ...place, uncomputed: false }); // its script was here
      }
    },
  });
  hasten(place.faster);
  clock(place.aheadMS);
}

/** In a thread that a page has started as a worker: becomes that worker. */
export async function beWorker(): Promise<void> {
  const { script, ...place } = workerData as InWorker;
  be(place);
  const port = parentPort!;
  give({ postMessage: (message: unknown) => port.postMessage(message), close: () => process.exit() });
  await import(pathToFileURL(join(fileURLToPath(bundle), "..", script)).href);
  port.on("message", (data: unknown) => {
    const event = new MessageEvent("message", { data });
    dispatchEvent(event);
    (globalThis as unknown as { onmessage: ((event: MessageEvent) => void) | null }).onmessage?.(event);
  });
}

export { isMainThread };

function give(what: object): void {
  for (const [name, value] of Object.entries(what)) Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
}

/** What a page has of a worker. */
class PageWorker {
  onmessage: ((event: { data: unknown }) => void) | null = null;
  onerror: ((event: { message: string }) => void) | null = null;
  readonly #thread: Thread;

  constructor(address: string | URL, place: Place) {
    this.#thread = new Thread(new URL(bundle), {
      workerData: { ...place, script: basename(new URL(address, "file:///").pathname) } satisfies InWorker,
    });
    this.#thread.on("message", (data: unknown) => this.onmessage?.({ data }));
    this.#thread.on("error", (why) => this.onerror?.({ message: String(why) }));
  }

  postMessage(message: unknown): void {
    this.#thread.postMessage(message);
  }

  terminate(): void {
    void this.#thread.terminate();
  }
}

/** Asks as a page of the origin does, which also finds the files beside its script. */
function fetchFrom({ origin, uncomputed }: Place, ask: typeof fetch) {
  bringComputations = () => void (uncomputed = false);
  return async (what: string | URL, how?: RequestInit): Promise<Response> => {
    const address = new URL(what, origin);
    if (address.protocol !== "file:") return ask(address, how);
    if (uncomputed) return new Response(null, { status: 404 });
    const type = address.pathname.endsWith(".wasm") ? "application/wasm" : "application/json";
    return new Response(readFileSync(address), { headers: { "Content-Type": type } });
  };
}

/** localStorage, which browsers write down some time after: what was set last is lost in a kill. */
class Slots {
  readonly #slots: { [key: string]: string };
  #writing: ReturnType<typeof setTimeout> | undefined;

  constructor(readonly file: string) {
    this.#slots = JSON.parse(text(file) ?? "{}") as { [key: string]: string };
  }

  getItem(key: string): string | null {
    return this.#slots[key] ?? null;
  }

  setItem(key: string, value: string): void {
    this.#slots[key] = value;
    this.#writing ??= setTimeout(() => {
      this.#writing = undefined;
      whole(this.file, JSON.stringify(this.#slots));
    }, 1_000);
  }
}

/** One cache of Cache Storage: each response is a file, and there whole or not at all. */
class Shelf {
  constructor(readonly dir: string) {
    mkdirSync(dir, { recursive: true });
  }

  async put(address: string, response: Response): Promise<void> {
    const head = JSON.stringify({ address, headers: [...response.headers] });
    whole(this.#file(address), Buffer.concat([Buffer.from(`${head}\n`), Buffer.from(await response.arrayBuffer())]));
  }

  async match(address: string): Promise<Response | undefined> {
    return this.#read(this.#file(address))?.response;
  }

  async keys(): Promise<{ url: string }[]> {
    const files = readdirSync(this.dir).filter((name) => !name.endsWith(unfinished));
    return files.flatMap((name) => this.#read(join(this.dir, name)) ?? []).map(({ address }) => ({ url: address })); // another thread may delete
  }

  async delete(address: string): Promise<boolean> {
    const there = this.#read(this.#file(address)) !== undefined;
    rmSync(this.#file(address), { force: true });
    return there;
  }

  #file(address: string): string {
    return join(this.dir, createHash("sha256").update(address).digest("hex"));
  }

  #read(file: string): { address: string; response: Response } | undefined {
    const bytes = contents(file);
    if (!bytes) return undefined;
    const end = bytes.indexOf("\n");
    const { address, headers } = JSON.parse(bytes.subarray(0, end).toString()) as { address: string; headers: [string, string][] };
    return { address, response: new Response(new Uint8Array(bytes.subarray(end + 1)), { headers }) };
  }
}

const unfinished = ".new";

function whole(file: string, content: string | Buffer): void {
  writeFileSync(file + unfinished, content);
  renameSync(file + unfinished, file);
}

function contents(file: string): Buffer | undefined {
  try {
    return readFileSync(file);
  } catch {
    return undefined;
  }
}

const text = (file: string): string | undefined => contents(file)?.toString();

/** Has waits end sooner by a factor, and what is measured last longer. */
function hasten(factor: number): void {
  const { setTimeout: after, setInterval: every } = globalThis,
    now = performance.now.bind(performance);
  give({
    setTimeout: (run: () => void, ms = 0, ...given: []) => after(run, ms / factor, ...given),
    setInterval: (run: () => void, ms = 0, ...given: []) => every(run, ms / factor, ...given),
  });
  Object.defineProperty(performance, "now", { value: () => now() * factor });
}

function clock(aheadMS: number): void {
  const Real = Date;
  let ahead = aheadMS;
  setClock = (ms) => void (ahead = ms);
  class Wrong extends Real {
    constructor(...given: []) {
      super(...(given.length > 0 ? given : ([Real.now() + ahead] as unknown as [])));
    }

    static override now(): number {
      return Real.now() + ahead;
    }
  }
  give({ Date: Wrong });
}
