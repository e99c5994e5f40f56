// Opens the page: the store first, then the screen of the address. The page records before
// the computations, the receiver or the server have answered.

import { render } from "preact";
import { type Draft, hasLost, type Property, type Saved, type Self, type Store, StorageError } from "../../storage/store.ts";
import type { Field } from "../context/field.ts";
import type { Feature } from "../../base/entry.ts";
import type { Installation } from "../serviceworker/install.ts";
import { Enrol } from "../enrol/enrol.tsx";
import { notSaved, troubleOf } from "../../storage/errors.ts";
import { checked } from "../../survey/form/check.ts";
import { copiedWords, Lost } from "./lost.tsx";
import { undoneKey, withUndone } from "../../survey/item/acts.ts";
import { calledProperty, chosenProperty } from "../../storage/chosenproperty.ts";
import type { Dependencies } from "../context/dependencies.ts";
import { screenAt } from "./screens.ts";
import { Shell } from "./shell.tsx";
import { type Action, reduce, start, type State } from "../context/state.ts";
import { type Storage, storageNow, watchStorage } from "../../storage/persistence.ts";
import { Stopped } from "../part/stopped.tsx";
import { undoingIn } from "../../survey/item/undo.ts";
import { ScreenHistory } from "../context/history.ts";
import type { App } from "../context/app.ts";
import type { Sync } from "../../sync/state.ts";

export function boot(root: HTMLElement, dependencies: Dependencies): void {
  new Running(root, dependencies).open();
}

/** The first screen is drawn and answers before the computations take the processor. */
const modelAfterMS = 1500;

class Running {
  private state: State;
  private store: Store | undefined;
  private sync: Sync | undefined;
  private installation: Installation | undefined;
  private readingSoon = 0;
  private drawing = false;
  private readonly way = new ScreenHistory();

  constructor(
    private readonly root: HTMLElement,
    private readonly dependencies: Dependencies,
  ) {
    this.state = start(location.hash || "#/");
  }

  open(): void {
    this.draw();
    // The code of a heavy screen is on its way while the store opens; the shell tells if it cannot be had.
    void Promise.resolve(screenAt(this.state.address).row.load()).catch(() => {});
    addEventListener("hashchange", () => {
      if (this.way.gone()) this.tell({ do: "go", address: location.hash || "#/" });
    });
    const installation = (this.installation = this.dependencies.install());
    installation.watch(() => this.tell({ do: "installed", installed: installation.state() }));
    this.tell({ do: "installed", installed: installation.state() });
    this.dependencies.openStore().then(
      (store) => this.opened(store),
      (error: unknown) => this.tell({ do: "stop", stop: stopOf(error) }),
    );
  }

  private opened(store: Store): void {
    this.store = store;
    store.watch(() => this.readSoon());
    this.lookAtTrouble();
    this.sync = this.dependencies.sync(store);
    this.sync.watch(() => this.tell({ do: "sync", sync: this.sync!.state() }));
    const self = store.self();
    this.tell({ do: "opened", self, property: self && chosenProperty(self) });
    this.tell({ do: "sync", sync: this.sync.state() });
    this.draw(); // the first screen, before the rest is begun
    void this.read();
    if (self) this.watchStorage();
    else void storageNow().then(this.tellStorage);
    this.watchReceiver();
    setTimeout(() => this.dependencies.model.ready().catch(() => {}), modelAfterMS); // who needs an answer is told why there is none
  }

  private lookAtTrouble(): void {
    const [trouble, cloned] = [this.store!.trouble(), this.store!.cloned()];
    if (trouble?.kind !== this.state.trouble?.kind || cloned !== this.state.cloned) this.tell({ do: "trouble", trouble, cloned });
    if (hasLost(this.state.trouble) && this.state.copied === undefined)
      void this.store!.copied().then((copied) => this.tell({ do: "copied", copied }));
  }

  /** The accuracy in the strip: while the page is in sight, as the battery is low. */
  private watchReceiver(): void {
    let stop: (() => void) | undefined;
    const look = () => {
      if (document.visibilityState === "visible" && this.state.self) {
        stop ??= this.dependencies.fixes.watch(
          (fix) => this.tell({ do: "fix", fix }),
          (why) => this.tell({ do: "no-fix", why }),
        );
      } else {
        stop?.();
        stop = undefined;
      }
    };
    document.addEventListener("visibilitychange", look);
    this.onEnrolled = look;
    look();
  }

  private onEnrolled = () => {};

  private readonly tell = (action: Action): void => {
    const before = this.state;
    this.state = reduce(this.state, action);
    if (action.do === "property") {
      this.store?.openProperty(action.property.id).catch(() => {}); // the store tells what is wrong with it
      void this.read();
    }
    if (before !== this.state) this.drawSoon();
  };

  /** Sync applies page after page: what it brought is read once it pauses. */
  private readSoon(): void {
    clearTimeout(this.readingSoon);
    this.lookAtTrouble();
    this.lookAtSelf();
    void this.readCounts();
    this.readingSoon = window.setTimeout(() => void this.read(), 700);
  }

  /** The office may have given this phone other properties, or named or merged them otherwise. */
  private lookAtSelf(): void {
    const self = this.store!.self(),
      { property } = this.state;
    if (!self || !this.state.self || self === this.state.self) return;
    this.tell({ do: "self", self, property: self.properties.find((p) => p.id === property?.id) ?? chosenProperty(self) });
  }

  /** A property that was merged is left for the one it is part of, once nothing is unfinished on it. */
  private async follow(): Promise<void> {
    const { property, self } = this.state;
    const into = property?.into && self?.properties.find((p) => p.id === property.into);
    if (!into) return;
    const state = (await this.store!.properties()).find((s) => s.property.id === property.id);
    if (!state || state.begunWork || this.state.property !== property) return;
    this.tell({ do: "property", property: into });
    this.tell({ do: "say", words: `${calledProperty(property)} is part of ${calledProperty(into)} now` });
  }

  private async readCounts(): Promise<void> {
    try {
      this.tell({ do: "counts", counts: await this.store!.counts() });
    } catch {
      this.lookAtTrouble(); // the store knows what is wrong with it; what is on the screen stays
    }
  }

  private async read(): Promise<void> {
    const { property } = this.state;
    try {
      const [counts, features] = await Promise.all([this.store!.counts(), property ? this.store!.features(property.id) : []]);
      this.tell({ do: "counts", counts });
      if (property) this.tell({ do: "features", property: property.id, features });
      await this.follow();
    } catch {
      this.lookAtTrouble();
    }
  }

  private readonly capture = async (drafts: readonly Draft[], said: string, undoable = true): Promise<readonly Saved[]> => {
    const store = this.store!;
    const saved = await store.capture(this.state.property!.id, checked(drafts, this.state.features)); // what the server would refuse is not called saved
    navigator.vibrate?.(40);
    const struck = drafts.flatMap((d) => (d.strike && d.feature ? [d.feature] : []));
    this.tell({ do: "say", words: said, struck, ...(undoable ? { undo: saved } : {}) });
    this.draw(); // at once: this is what the officer waits for
    void this.reread(saved);
    return saved;
  };

  private async reread(saved: readonly Saved[]): Promise<void> {
    try {
      await this.readAgain(saved);
    } catch {
      void this.readCounts(); // it is saved; what the store has to say about itself is told there
    }
  }

  private async readAgain(saved: readonly Saved[]): Promise<void> {
    const ids = [...new Set(saved.map((s) => s.feature))];
    const [counts, ...features] = await Promise.all([this.store!.counts(), ...ids.map((id) => this.store!.feature(id))]);
    this.tell({ do: "counts", counts });
    this.tell({ do: "changed", features: features.filter((f): f is Feature => f !== undefined) });
  }

  private undoing = false;
  private readonly undo = async (entries: readonly Saved[], said = "Undone"): Promise<void> => {
    if (this.undoing) return; // a second tap of a glove
    this.undoing = true;
    try {
      const drafts = await undoingIn(this.store!, entries);
      if (drafts.length > 0) await this.noteUndone(await this.capture(drafts, said, false));
      else this.tell({ do: "say", words: "Nothing to undo: it has been changed since." });
    } catch (error) {
      this.tell({ do: "say", words: troubleOf(error).what });
    }
    this.undoing = false;
  };

  /** Today's list calls an undo what it is; without the note it is listed as an edit. */
  private async noteUndone(saved: readonly Saved[]): Promise<void> {
    const store = this.store!;
    await store
      .draft<readonly string[]>(undoneKey)
      .then((known) => store.keepDraft(undoneKey, withUndone(known, saved)))
      .catch(() => undefined);
    void this.readCounts();
  }

  /** The phone is another device from now on, or has its records again. */
  private begin(self: Self): void {
    this.lookAtTrouble();
    this.tell({ do: "opened", self, property: chosenProperty(self) });
    this.onEnrolled();
    void this.read();
    this.sync!.sendNow();
  }

  private readonly bringBack = async (): Promise<void> => {
    const { copied } = this.state;
    await this.store!.bringBack();
    this.begin(this.store!.self()!);
    if (copied) this.tell({ do: "say", words: `Brought back: ${copiedWords(copied)}` });
    location.hash = "#/";
  };

  private readonly tellStorage = (storage: Storage): void => this.tell({ do: "storage", storage });

  private watchStorage(): void {
    watchStorage(this.tellStorage);
  }

  /** The enrolment is on the disk before anything is said of it. */
  private readonly enrolled = async (granted: Self): Promise<void> => {
    const had = new Set(this.state.self?.properties.map((p) => p.id));
    await this.store!.enrol(granted);
    const self = this.store!.self()!;
    const added = granted.properties.filter((p) => !had.has(p.id) && !p.into);
    this.watchStorage();
    this.begin(self);
    if (added.length === 1) this.tell({ do: "property", property: self.properties.find((p) => p.id === added[0]!.id) ?? added[0]! });
    location.hash = added.length === 1 ? "#/load" : added.length > 1 ? "#/start" : "#/property";
  };

  private given: Field | undefined;

  /** What screens are given: the same until the property or its features change, so that they are not drawn in vain. */
  private field(property: Property): Field {
    if (this.given?.property === property && this.given.features === this.state.features) return this.given;
    return (this.given = {
      store: this.store!,
      model: this.dependencies.model,
      fixes: this.dependencies.fixes,
      sync: this.sync!,
      property,
      features: this.state.features,
      capture: this.capture,
      go: (route) => void (location.hash = route),
      back: () => this.way.back(),
      say: (words) => this.tell({ do: "say", words }),
      refuse: (why) => this.tell({ do: "say", words: notSaved(why), refusal: true }),
    });
  }

  private drawSoon(): void {
    if (this.drawing) return;
    this.drawing = true;
    whenDrawn(() => this.drawing && this.draw());
  }

  private draw(): void {
    this.drawing = false;
    render(this.page(), this.root);
  }

  private page() {
    const { state, store, dependencies, tell, undo } = this;
    if (state.stop) return <Stopped stop={state.stop} />;
    if (!state.opened || !store || (hasLost(state.trouble) && state.copied === undefined))
      return (
        <p class="sheet" role="status">
          Opening…
        </p>
      );
    if (hasLost(state.trouble) && state.copied && !state.address.startsWith("#/enrol"))
      return <Lost copied={state.copied} back={this.bringBack} />;
    if (!state.self || !state.property || state.address.startsWith("#/enrol")) {
      return (
        <Enrol
          address={state.address}
          self={state.self}
          again={state.cloned || state.trouble !== null || state.sync?.state === "refused"}
          trouble={state.trouble}
          store={store}
          enrolled={this.enrolled}
        />
      );
    }
    const app: App = { state, tell, dependencies: dependencies, store, installation: this.installation!, undo };
    return <Shell app={app} field={this.field(state.property)} />;
  }
}

/** Runs something before the screen is next drawn; a page out of sight is not drawn, and still keeps up. */
function whenDrawn(run: () => void): void {
  let ran = false;
  const once = () => {
    if (!ran) run();
    ran = true;
  };
  requestAnimationFrame(once);
  setTimeout(once, 100);
}

function stopOf(error: unknown): { what: string; todo: string } {
  if (error instanceof StorageError) return { what: error.message, todo: error.todo };
  return {
    what: "What is on this phone cannot be read.",
    todo: `Close this page and open it again. Do not clear the browser's data. (${String(error)})`,
  };
}
