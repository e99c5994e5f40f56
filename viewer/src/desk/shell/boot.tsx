// Opens the desk page: the store first, then the screen of the address. It shows what is on the
// computer before the computations or the server have answered.

import { render } from "preact";
import { Device, type DeviceDependencies, whenDrawn } from "../../device/device.ts";
import { Enrol } from "../../device/enrol.tsx";
import { Lost } from "../../device/lost.tsx";
import { mustEnrolAgain, type Stop } from "../../device/state.ts";
import { wired } from "../../device/wiring.ts";
import { hasLost, type Property, type Self } from "../../storage/store.ts";
import { Button } from "../../ui/button.tsx";
import { Trouble } from "../../ui/panel.tsx";
import type { Desk } from "../context/desk.ts";
import { type Action, reduce, start, type State } from "../context/state.ts";
import { screenAt } from "./screens.ts";
import { Shell } from "./shell.tsx";

export function boot(root: HTMLElement, dependencies: DeviceDependencies = wired()): void {
  new Running(root, dependencies);
}

/** What comes is shown at once: a computer has the strength for it. */
const pauseMS = 30;
const modelAfterMS = 0;

class Running {
  private state: State;
  private readonly device: Device;
  private drawing = false;

  constructor(
    private readonly root: HTMLElement,
    private readonly dependencies: DeviceDependencies,
  ) {
    this.state = start(location.hash || "#/");
    this.draw();
    addEventListener("hashchange", () => this.tell({ do: "go", address: location.hash || "#/" }));
    this.device = new Device(dependencies, {
      state: () => this.state,
      tell: (action) => this.tell(action),
      say: (words) => this.tell({ do: "say", words }),
      draw: () => this.draw(),
      pauseMS,
      modelAfterMS,
    });
    void this.device.open();
  }

  private readonly tell = (action: Action): void => {
    const before = this.state;
    this.state = reduce(this.state, action);
    if (action.do === "property") this.device.chose(action.property);
    else this.follow();
    if (before !== this.state) this.drawSoon();
  };

  /** The property that the address names is the one that is open. */
  private follow(): void {
    const named = this.named();
    if (named && named.id !== this.state.property?.id) this.tell({ do: "property", property: named });
  }

  private named(): Property | undefined {
    const { id } = screenAt(this.state.address).params;
    return id === undefined ? undefined : this.state.self?.properties.find((p) => p.id === id);
  }

  private readonly bringBack = async (): Promise<void> => {
    await this.device.bringBack();
    this.go("#/");
  };

  private readonly enrolled = async (granted: Self): Promise<void> => {
    const added = await this.device.enrolled(granted);
    this.go(added.length === 1 ? `#/property/${added[0]!.id}` : "#/");
  };

  private readonly go = (address: string, inPlace = false): void => {
    if (!inPlace) location.hash = address;
    else {
      history.replaceState(null, "", address);
      this.tell({ do: "go", address });
    }
  };

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
    const { state, dependencies } = this,
      store = this.device?.store;
    if (state.stop) return <Stopped stop={state.stop} />;
    if (!state.opened || !store || (hasLost(state.trouble) && state.copied === undefined)) return <p class="sheet alone">Opening…</p>;
    if (hasLost(state.trouble) && state.copied && !state.address.startsWith("#/enrol"))
      return <Lost copied={state.copied} back={this.bringBack} />;
    if (!state.self || state.address.startsWith("#/enrol")) {
      const { trouble } = state; // an enrolment would put an empty store beside what may still be read
      if (!state.self && (trouble?.kind === "damaged" || trouble?.kind === "closed"))
        return <Stopped stop={{ what: trouble.message, todo: trouble.todo }} />;
      return (
        <Enrol
          address={state.address}
          self={state.self}
          again={mustEnrolAgain(state)}
          trouble={trouble}
          store={store}
          enrolled={this.enrolled}
        />
      );
    }
    const desk: Desk = { state, store, model: dependencies.model, sheets: dependencies.sheets, go: this.go };
    return <Shell desk={desk} installation={this.device.installation} retry={() => this.device.sync?.sendNow()} />;
  }
}

/** In place of the page when its store cannot be opened. */
function Stopped({ stop }: { stop: Stop }) {
  return (
    <main class="screen">
      <header class="head first">
        <h1 tabIndex={-1}>Nothing can be shown now</h1>
      </header>
      <div class="sheet">
        <Trouble what={stop.what} todo={stop.todo} />
      </div>
      <div class="actions">
        <Button rank="main" press={() => location.reload()}>
          Open again
        </Button>
      </div>
    </main>
  );
}
