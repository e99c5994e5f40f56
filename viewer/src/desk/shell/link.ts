// How the desk stands with the server, in words: pure, and never more than is known.

import { clock } from "../../base/words.ts";
import type { DeviceState } from "../../device/state.ts";

export interface Link {
  readonly state: "connected" | "busy" | "cut";
  readonly words: string;
  readonly retry: boolean; // whether a press may help
}

export function linkOf({ sync, trouble }: DeviceState, now: Date): Link {
  const cut = (words: string, retry = true): Link => ({ state: "cut", words, retry });
  if (trouble?.kind === "other-tab")
    return { state: "connected", words: "Connected in another tab; what it loads is shown here too.", retry: false };
  if (!sync) return { state: "busy", words: "Looking for the server.", retry: false };
  const asOf = sync.lastSent ? ` Shown as of ${clock(sync.lastSent, now)}; what is new comes by itself.` : "";
  switch (sync.state) {
    case "quiet":
      return { state: "connected", words: "Connected: entries show as phones send them.", retry: false };
    case "refused":
      return cut("Not connected.", false); // why is said below
    case "no-answer":
    case "never":
      return cut(`No answer from the server.${asOf}`);
    case "trying":
      return { state: "busy", words: `Looking for the server.${asOf}`, retry: false };
    case "sending":
      return { state: "busy", words: sync.words, retry: false };
  }
}

export interface Alert {
  readonly words: string;
  readonly enrols: boolean; // whether enrolling again is the way on
}

/** What must be said above everything else; undefined when all is well. */
export function alertOf({ sync, trouble, cloned, installed }: DeviceState): Alert | undefined {
  if (trouble && trouble.kind !== "other-tab") {
    return { words: `${trouble.message} ${trouble.todo}`, enrols: ["gone", "behind", "not-enrolled"].includes(trouble.kind) };
  }
  if (cloned) return { words: "Another device has this computer's number. Enrol this one again.", enrols: true };
  if (sync?.state === "refused") return { words: sync.words, enrols: true };
  if (installed?.state === "not-kept") return { words: installed.why, enrols: false };
  if (installed?.overtaken)
    return { words: "A newer version of this page was installed in another tab. Load this page again to get it.", enrols: false };
  return undefined;
}
