// Opens the desk page: the store first, then the screen of the address. It shows what is on the
// computer before the computations or the server have answered.

import { Device, type DeviceDependencies } from "../../device/device.ts";
import { Drawing, gate } from "../../device/gate.tsx";
import type { Stop } from "../../device/state.ts";
import { wired } from "../../device/wiring.ts";
import type { Property, Self } from "../../storage/store.ts";
import { Button } from "../../ui/button.tsx";
import { WholeFrame } from "../../ui/frame.tsx";
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
  private readonly drawing: Drawing;

  constructor(
    root: HTMLElement,
    private readonly dependencies: DeviceDependencies,
  ) {
    this.state = start(location.hash || "#/");
    this.drawing = new Drawing(root, () => this.page());
    this.drawing.now();
    addEventListener("hashchange", () => this.tell({ do: "go", address: location.hash || "#/" }));
    this.device = new Device(dependencies, {
      state: () => this.state,
      tell: (action) => this.tell(action),
      say: (words) => this.tell({ do: "say", words }),
      draw: this.drawing.now,
      pauseMS,
      modelAfterMS,
    });
    void this.device.open();
  }

  private readonly tell = (action: Action): void => {
    const before = this.state;
    this.state = reduce(this.state, action);
    if (action.do === "property") this.opens(action.property);
    else this.follow();
    if (before !== this.state) this.drawing.soon();
  };

  /** The address goes with a property that was merged to the one that it is part of now, or it would be opened again for ever. */
  private opens(property: Property): void {
    const named = this.named();
    this.device.chose(property);
    if (named && named.id !== property.id) this.go(this.state.address.replace(named.id, property.id), true);
  }

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
    this.go(added.length === 1 ? `#/property/${added[0]!.id}` : "#/", true); // a code that is spent leads nowhere
  };

  private readonly go = (address: string, inPlace = false): void => {
    if (!inPlace) location.hash = address;
    else {
      history.replaceState(null, "", address);
      this.tell({ do: "go", address });
    }
  };

  private page() {
    const { state, dependencies, bringBack, enrolled } = this,
      store = this.device?.store;
    const instead = gate({ state, store, ready: state.self !== null, Stopped, bringBack, enrolled });
    if (instead || !store) return instead;
    const desk: Desk = { state, store, model: dependencies.model, sheets: dependencies.sheets, go: this.go };
    return <Shell desk={desk} installation={this.device.installation} retry={() => this.device.sync?.sendNow()} />;
  }
}

/** In place of the page when its store cannot be opened. */
function Stopped({ stop }: { stop: Stop }) {
  return (
    <WholeFrame
      title="Nothing can be shown now"
      actions={
        <Button rank="main" press={() => location.reload()}>
          Open again
        </Button>
      }
    >
      <Trouble what={stop.what} todo={stop.todo} />
    </WholeFrame>
  );
}
