// A page as a device of the officer: it opens its store, speaks with the server, and tells its
// screens what changes. It works before the computations or the server have answered.

import { device } from "../base/page.ts";
import type { Model } from "../compute/model.ts";
import type { Plans } from "../compute/plan.ts";
import type { Sheets } from "../compute/sheets.ts";
import type { Installation } from "../serviceworker/install.ts";
import { calledProperty, chosenProperty } from "../storage/chosenproperty.ts";
import { type Storage, storageNow, watchStorage } from "../storage/persistence.ts";
import { hasLost, type Property, type Self, StorageError, type Store } from "../storage/store.ts";
import type { Sync } from "../sync/state.ts";
import type { DeviceAction, DeviceState, Stop } from "./state.ts";

/** What a device is put together from, so that it can be tested with others. */
export interface DeviceDependencies {
  openStore(): Promise<Store>;
  sync(store: Store): Sync;
  /** Puts the page itself on the device, so that it opens with no signal. */
  install(): Installation;
  readonly model: Model;
  readonly sheets: Sheets;
  readonly plans: Plans;
}

/** The page around a device. */
export interface Around {
  state(): DeviceState;
  tell(action: DeviceAction): void;
  /** Puts words before the officer. */
  say(words: string): void;
  /** The store is open: draw what there is before the rest is begun. */
  draw(): void;
  /** How long to wait, after something has changed, for more of it before all is read again. */
  readonly pauseMS: number;
  /** When to load the computations after that. */
  readonly modelAfterMS: number;
}

export class Device {
  store: Store | undefined;
  sync: Sync | undefined;
  readonly installation: Installation;
  #readingSoon = 0;

  constructor(
    readonly dependencies: DeviceDependencies,
    readonly around: Around,
  ) {
    this.installation = dependencies.install();
    const tell = () => around.tell({ do: "installed", installed: this.installation.state() });
    this.installation.watch(tell);
    tell();
  }

  /** Opens the store, and tells when it cannot. It resolves when what is in it is being read. */
  async open(): Promise<void> {
    let store: Store;
    try {
      store = await this.dependencies.openStore();
    } catch (error) {
      return this.around.tell({ do: "stop", stop: stopOf(error) });
    }
    this.#opened(store);
  }

  #opened(store: Store): void {
    const { around } = this;
    this.store = store;
    store.watch(() => this.#readSoon());
    this.lookAtTrouble();
    const sync = (this.sync = this.dependencies.sync(store));
    sync.watch(() => around.tell({ do: "sync", sync: sync.state() }));
    const self = store.self();
    around.tell({ do: "opened", self, property: self && chosenProperty(self) });
    around.tell({ do: "sync", sync: sync.state() });
    around.draw();
    void this.read();
    if (self) watchStorage(this.#tellStorage);
    else void storageNow().then(this.#tellStorage);
    setTimeout(() => this.dependencies.model.ready().catch(() => {}), around.modelAfterMS); // who needs an answer is told why there is none
  }

  readonly #tellStorage = (storage: Storage): void => this.around.tell({ do: "storage", storage });

  lookAtTrouble(): void {
    const { around } = this,
      store = this.store!;
    const [trouble, cloned] = [store.trouble(), store.cloned()];
    const before = around.state();
    if (trouble?.kind !== before.trouble?.kind || cloned !== before.cloned) around.tell({ do: "trouble", trouble, cloned });
    const { trouble: now, copied } = around.state();
    if (hasLost(now) && copied === undefined) void store.copied().then((copied) => around.tell({ do: "copied", copied }));
  }

  /** Sync applies page after page: what it brought is read once it pauses. */
  #readSoon(): void {
    clearTimeout(this.#readingSoon);
    this.lookAtTrouble();
    this.#lookAtSelf();
    void this.readCounts();
    this.#readingSoon = window.setTimeout(() => void this.read(), this.around.pauseMS);
  }

  /** The office may have given this device other properties, or named or merged them otherwise. */
  #lookAtSelf(): void {
    const self = this.store!.self(),
      { property, self: before } = this.around.state();
    if (!self || !before || self === before) return;
    this.around.tell({ do: "self", self, property: self.properties.find((p) => p.id === property?.id) ?? chosenProperty(self) });
  }

  /** A property that was merged is left for the one it is part of, once nothing is unfinished on it. */
  async #follow(): Promise<void> {
    const { property, self } = this.around.state();
    const into = property?.into && self?.properties.find((p) => p.id === property.into);
    if (!into) return;
    const state = (await this.store!.properties()).find((s) => s.property.id === property.id);
    if (!state || state.begunWork || this.around.state().property !== property) return;
    this.around.tell({ do: "property", property: into });
    this.around.say(`${calledProperty(property)} is part of ${calledProperty(into)} now`);
  }

  /** Notes which property is open now, and reads what is on it. */
  chose(property: Property): void {
    this.store?.openProperty(property.id).catch(() => {}); // the store tells what is wrong with it
    void this.read();
  }

  async readCounts(): Promise<void> {
    try {
      this.around.tell({ do: "counts", counts: await this.store!.counts() });
    } catch {
      this.lookAtTrouble(); // the store knows what is wrong with it; what is on the screen stays
    }
  }

  async read(): Promise<void> {
    const { property } = this.around.state();
    try {
      const [counts, features] = await Promise.all([this.store!.counts(), property ? this.store!.features(property.id) : []]);
      this.around.tell({ do: "counts", counts });
      if (property) this.around.tell({ do: "features", property: property.id, features });
      await this.#follow();
    } catch {
      this.lookAtTrouble();
    }
  }

  /** It is another device from now on, or has its records again. */
  #begin(self: Self): void {
    this.lookAtTrouble();
    this.around.tell({ do: "opened", self, property: chosenProperty(self) });
    void this.read();
    this.sync!.sendNow();
  }

  /** Puts the second copy in the place of what was lost. */
  async bringBack(): Promise<void> {
    await this.store!.bringBack();
    this.#begin(this.store!.self()!);
  }

  /** Keeps what was granted, and opens what it added where that is one property. It gives what it added. */
  async enrolled(granted: Self): Promise<readonly Property[]> {
    const had = new Set(this.around.state().self?.properties.map((p) => p.id));
    await this.store!.enrol(granted); // on the disk before anything is said of it
    const self = this.store!.self()!;
    const added = granted.properties.filter((p) => !had.has(p.id) && !p.into);
    watchStorage(this.#tellStorage);
    this.#begin(self);
    if (added.length === 1) this.around.tell({ do: "property", property: self.properties.find((p) => p.id === added[0]!.id) ?? added[0]! });
    return added;
  }
}

function stopOf(error: unknown): Stop {
  if (error instanceof StorageError) return { what: error.message, todo: error.todo };
  return {
    what: `What is on this ${device} cannot be read.`,
    todo: `Close this page and open it again. Do not clear the browser's data. (${String(error)})`,
  };
}

/** Runs something before the screen is next drawn; a page out of sight is not drawn, and still keeps up. */
export function whenDrawn(run: () => void): void {
  let ran = false;
  const once = () => {
    if (!ran) run();
    ran = true;
  };
  requestAnimationFrame(once);
  setTimeout(once, 100);
}
