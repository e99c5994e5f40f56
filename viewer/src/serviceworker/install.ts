// The page's end of the service worker: puts the page's files on the phone, notices a newer
// version, and takes it only when the officer says so.

import { device, pageAddress } from "../base/page.ts";
import { probeOffline } from "./probe.ts";
import { newsChannel, type Asked, type Taken, type Which } from "./scope.ts";

/** How it stands with the page's files on this phone. */
export interface Installed {
  /** "kept" opens with no signal. "not-kept" does not, and why says what to do. */
  readonly state: "asking" | "fetching" | "kept" | "not-kept";
  readonly why: string;
  /** A newer version is on the phone and waits. */
  readonly newer: boolean;
  /** Another tab has taken a newer version since this page was opened: it goes on as it is. */
  readonly overtaken: boolean;
}

export interface Installation {
  state(): Installed;
  watch(changed: () => void): () => void;
  /** Looks for a newer version: when signal has returned, or on the officer's wish. */
  look(): void;
  /**
   * Takes the newer version and opens the page again. What is unsent stays in the phone's
   * store, which every version can read; it is refused while the newest
   * captures are nowhere else, as an update is the worst moment to find a fault.
   */
  update(unsafe: number): Promise<void>;
  /** Tries whether the page works with no signal, and fetches again what it lacks; "" when it does, else why not. */
  probe(): Promise<string>;
}

const address = `${pageAddress}worker.js`;

/** How often a page that stays open looks for a newer version. */
const lookEveryMS = 60 * 60 * 1000;

export function install(): Installation {
  return new Worker();
}

class Worker implements Installation {
  private now: Installed = { state: "asking", why: "", newer: false, overtaken: false };
  private readonly watchers = new Set<() => void>();
  private registration: ServiceWorkerRegistration | undefined;
  private looked = Date.now();

  constructor() {
    void this.begin();
    new BroadcastChannel(newsChannel).onmessage = ({ data }: MessageEvent<Taken>) => {
      if (data.before !== undefined && data.before !== data.given) this.become({ overtaken: true });
    };
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible" && Date.now() - this.looked > lookEveryMS) this.look();
    });
  }

  state(): Installed {
    return this.now;
  }

  watch(changed: () => void): () => void {
    this.watchers.add(changed);
    return () => void this.watchers.delete(changed);
  }

  look(): void {
    this.looked = Date.now();
    this.registration?.update().catch(() => {}); // no signal: later
  }

  async update(unsafe: number): Promise<void> {
    if (unsafe > 0) throw new Error(`there are entries that only this ${device} has`);
    const worker = newest(this.registration);
    if (!worker) return;
    await ask(worker, "take over");
    location.reload();
  }

  async probe(): Promise<string> {
    const active = this.registration?.active;
    if (!active) return `The page is not on this ${device} yet.`;
    const why = await tried(active);
    if (why === "") return "";
    await ask(active, "fetch again");
    return tried(active);
  }

  private async begin(): Promise<void> {
    if (!navigator.serviceWorker) {
      this.become({
        state: "not-kept",
        why: "This browser cannot open the page without signal. Use an up-to-date browser at the secure address.",
      });
      return;
    }
    try {
      this.registration = await navigator.serviceWorker.register(address, { scope: pageAddress, updateViaCache: "none" });
    } catch {
      // The registration of an earlier day still holds where there is no signal.
      this.registration = await navigator.serviceWorker.getRegistration(pageAddress);
    }
    if (!this.registration) {
      this.become({ state: "not-kept", why: `The page is not on this ${device} yet. Open it once more where there is signal.` });
      return;
    }
    this.registration.addEventListener("updatefound", () => this.follow(this.registration!.installing));
    this.follow(this.registration.installing);
    await this.tell();
  }

  /** Follows a worker that is fetching the files until it has them or has failed. */
  private follow(worker: ServiceWorker | null): void {
    if (!worker) return;
    if (this.now.state !== "kept") this.become({ state: "fetching", why: "" });
    worker.addEventListener("statechange", () => {
      if (worker.state === "redundant" && !this.registration?.active) {
        this.become({ state: "not-kept", why: "Not all of the page could be fetched. Open it again where the signal is better." });
      } else {
        void this.tell();
      }
    });
  }

  private async tell(): Promise<void> {
    const worker = newest(this.registration);
    if (!worker) return; // the first one is still fetching
    const which = await ask(worker, "which");
    this.become({ state: this.registration?.active ? "kept" : this.now.state, why: "", newer: which.brought !== which.given });
  }

  private become(change: Partial<Installed>): void {
    this.now = { ...this.now, ...change };
    for (const changed of this.watchers) changed();
  }
}

function newest(registration: ServiceWorkerRegistration | undefined): ServiceWorker | null {
  return registration?.waiting ?? registration?.active ?? null;
}

async function tried(active: ServiceWorker): Promise<string> {
  const { missing } = await ask(active, "which");
  return missing > 0 ? `Files of the page are missing on this ${device}: ${missing}.` : probeOffline();
}

function ask(worker: ServiceWorker, asked: Asked): Promise<Which> {
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = (event: MessageEvent<Which>) => resolve(event.data);
    worker.postMessage(asked, [channel.port2]);
  });
}
