// What a page shows in place of its screens: its store does not open or has lost something, or
// the device is not enrolled. And when it draws.

import { type ComponentChild, type ComponentType, render } from "preact";
import { hasLost, type Self } from "../storage/store.ts";
import { afterPress, drawAfterPresses } from "../ui/press.ts";
import { type Device, whenDrawn } from "./device.ts";
import { Enrol } from "./enrol.tsx";
import { Lost } from "./lost.tsx";
import { type DeviceState, mustEnrolAgain, type Stop } from "./state.ts";

interface Gate {
  readonly state: DeviceState & { readonly address: string };
  readonly store: Device["store"];
  readonly ready: boolean; // the device is enrolled, and has what the screens need
  readonly Stopped: ComponentType<{ stop: Stop }>;
  readonly bringBack: () => Promise<void>;
  readonly enrolled: (granted: Self) => Promise<void>;
}

/** null when the screens may be shown. */
export function gate({ state, store, ready, Stopped, bringBack, enrolled }: Gate): ComponentChild {
  const { stop, self, trouble, copied, address } = state;
  const enrols = address.startsWith("#/enrol");
  if (stop) return <Stopped stop={stop} />;
  if (!state.opened || !store || (hasLost(trouble) && copied === undefined))
    return (
      <p class="sheet alone" role="status">
        Opening…
      </p>
    );
  if (hasLost(trouble) && copied && !enrols) return <Lost copied={copied} back={bringBack} />;
  if (ready && !enrols) return null;
  // An enrolment would put an empty store beside what may still be read.
  if (!self && (trouble?.kind === "damaged" || trouble?.kind === "closed"))
    return <Stopped stop={{ what: trouble.message, todo: trouble.todo }} />;
  return <Enrol address={address} self={self} again={mustEnrolAgain(state)} trouble={trouble} store={store} enrolled={enrolled} />;
}

/**
 * Draws a page: at once, or before it is next seen, once for all that has changed until then; where something is
 * pressed, after that.
 */
export class Drawing {
  #waits = false;

  constructor(
    private readonly root: HTMLElement,
    private readonly page: () => ComponentChild,
  ) {
    drawAfterPresses();
  }

  readonly now = (): void => {
    this.#waits = false;
    render(this.page(), this.root);
  };

  soon(): void {
    if (this.#waits) return;
    this.#waits = true;
    whenDrawn(() => afterPress(() => this.#waits && this.now()));
  }
}
