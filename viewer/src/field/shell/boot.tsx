// Opens the page: the store first, then the screen of the address. The page records before
// the computations, the receiver or the server have answered.

import type { Draft, Property, Saved, Self } from "../../storage/store.ts";
import type { BringBack, Field } from "../context/field.ts";
import { Device } from "../../device/device.ts";
import { Drawing, gate } from "../../device/gate.tsx";
import { copiedWords } from "../../device/lost.tsx";
import { notSaved, troubleOf } from "../../storage/errors.ts";
import { checked } from "../../survey/form/check.ts";
import { undoneKey, withUndone } from "../../survey/item/acts.ts";
import type { Dependencies } from "../context/dependencies.ts";
import { screenAt } from "./screens.ts";
import { Shell } from "./shell.tsx";
import { type Action, reduce, start, type State } from "../context/state.ts";
import { Stopped } from "../part/stopped.tsx";
import { undoingIn } from "../../survey/item/undo.ts";
import { goInPlace, ScreenHistory } from "../context/history.ts";
import type { App } from "../context/app.ts";

export function boot(root: HTMLElement, dependencies: Dependencies): void {
  new Running(root, dependencies);
}

/** The first screen is drawn and answers before the computations take the processor. */
const modelAfterMS = 1500;
/** What comes page after page is read once it pauses: an old phone has enough to do. */
const pauseMS = 700;

class Running {
  private state: State;
  private readonly device: Device;
  private readonly drawing: Drawing;
  private readonly way = new ScreenHistory();

  constructor(
    root: HTMLElement,
    private readonly dependencies: Dependencies,
  ) {
    this.state = start(location.hash || "#/");
    this.drawing = new Drawing(root, () => this.page());
    this.drawing.now();
    // The code of a heavy screen is on its way while the store opens; the shell tells if it cannot be had.
    void Promise.resolve(screenAt(this.state.address).row.load()).catch(() => {});
    addEventListener("hashchange", () => {
      if (this.way.gone()) this.tell({ do: "go", address: location.hash || "#/" });
    });
    this.device = new Device(dependencies, {
      state: () => this.state,
      tell: (action) => this.tell(action),
      say: (words) => this.tell({ do: "say", words }),
      draw: this.drawing.now,
      pauseMS,
      modelAfterMS,
    });
    void this.device.open().then(() => this.watchReceiver());
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
    if (action.do === "property") this.device.chose(action.property);
    if (before !== this.state) this.drawing.soon();
  };

  private ended: { readonly entries: readonly Saved[]; readonly bringBack: BringBack } | undefined; // by the newest save

  private readonly capture = async (
    drafts: readonly Draft[],
    said: string,
    undoable = true,
    bringBack?: BringBack,
    resumes?: string,
  ): Promise<readonly Saved[]> => {
    const store = this.device.store!;
    const saved = await store.capture(this.state.property!.id, checked(drafts, this.state.features)); // what the server would refuse is not called saved
    if (navigator.userActivation?.hasBeenActive !== false) navigator.vibrate?.(40); // before the first touch the browser complains
    const struck = drafts.flatMap((d) => (d.strike && d.feature ? [d.feature] : []));
    this.ended = bringBack && { entries: saved, bringBack };
    this.tell({ do: "say", words: said, struck, resumes, ...(undoable ? { undo: saved } : {}) });
    this.drawing.now(); // at once: this is what the officer waits for
    void this.reread(saved);
    return saved;
  };

  private async reread(saved: readonly Saved[]): Promise<void> {
    const store = this.device.store!;
    const ids = [...new Set(saved.map((s) => s.feature))];
    try {
      const [counts, ...features] = await Promise.all([store.counts(), ...ids.map((id) => store.feature(id))]);
      this.tell({ do: "counts", counts });
      this.tell({ do: "changed", features: features.filter((f) => f !== undefined) });
    } catch {
      void this.device.readCounts(); // it is saved; what the store has to say about itself is told there
    }
  }

  private undoing = false;
  private readonly undo = async (entries: readonly Saved[], said = "Undone"): Promise<void> => {
    if (this.undoing) return; // a second tap of a glove
    this.undoing = true;
    try {
      const drafts = await undoingIn(this.device.store!, entries);
      if (drafts.length > 0) {
        const resumes = this.ended?.entries === entries ? await this.ended.bringBack() : undefined;
        await this.noteUndone(await this.capture(drafts, said, false, undefined, resumes));
      } else this.tell({ do: "say", words: "Nothing to undo: it has been changed since." });
    } catch (error) {
      this.tell({ do: "say", words: troubleOf(error).what });
    }
    this.undoing = false;
  };

  /** Today's list calls an undo what it is; without the note it is listed as an edit. */
  private async noteUndone(saved: readonly Saved[]): Promise<void> {
    const store = this.device.store!;
    await store
      .draft<readonly string[]>(undoneKey)
      .then((known) => store.keepDraft(undoneKey, withUndone(known, saved)))
      .catch(() => undefined);
    void this.device.readCounts();
  }

  private readonly bringBack = async (): Promise<void> => {
    const { copied } = this.state;
    await this.device.bringBack();
    this.onEnrolled();
    if (copied) this.tell({ do: "say", words: `Brought back: ${copiedWords(copied)}` });
    location.hash = "#/";
  };

  private readonly enrolled = async (granted: Self): Promise<void> => {
    const added = await this.device.enrolled(granted);
    this.onEnrolled();
    goInPlace(added.length === 1 ? "#/load" : added.length > 1 ? "#/start" : "#/property"); // a code that is spent leads nowhere
  };

  private given: Field | undefined;

  /** What screens are given: the same until the property or its features change, so that they are not drawn in vain. */
  private field(property: Property): Field {
    if (this.given?.property === property && this.given.features === this.state.features) return this.given;
    return (this.given = {
      store: this.device.store!,
      model: this.dependencies.model,
      sheets: this.dependencies.sheets,
      plans: this.dependencies.plans,
      fixes: this.dependencies.fixes,
      sync: this.device.sync!,
      property,
      features: this.state.features,
      capture: this.capture,
      go: (route) => void (location.hash = route),
      back: () => this.way.back(),
      say: (words) => this.tell({ do: "say", words }),
      refuse: (why) => this.tell({ do: "say", words: notSaved(why), refusal: true }),
    });
  }

  private page() {
    const { state, dependencies, tell, undo, bringBack, enrolled } = this,
      store = this.device?.store;
    const instead = gate({ state, store, ready: state.property !== null, Stopped, bringBack, enrolled });
    if (instead || !store || !state.property) return instead;
    const app: App = { state, tell, dependencies, store, installation: this.device.installation, undo };
    return <Shell app={app} field={this.field(state.property)} />;
  }
}
