// The one thing that must be said loudest, above the status strip of every screen: pure.

import type { Counts } from "../../storage/store.ts";
import type { State } from "../context/state.ts";
import { count } from "../../base/words.ts";

export interface Alert {
  readonly words: string;
  readonly route: string; // the screen on which something can be done about it
  readonly doing: string;
}

/** From how many days on it is told that nothing was sent: a phone may lose what it alone has. */
export const loudDays = 3;

export function loudest(state: State, now: Date): Alert | undefined {
  const { trouble, sync, counts, storage } = state;
  if (trouble) {
    const again = trouble.kind === "gone" || trouble.kind === "not-enrolled";
    return {
      words: `${trouble.message} ${trouble.todo}`,
      route: again ? "#/enrol" : "#/status",
      doing: again ? "Enrol again" : "Sync status",
    };
  }
  if (state.cloned)
    return {
      words: "Another phone records under this phone's number. Nothing is lost, but it must be enrolled again.",
      route: "#/enrol",
      doing: "Enrol again",
    };
  if (sync?.state === "refused")
    return { words: "The server refuses this phone. What is recorded stays here.", route: "#/status", doing: "What to do" };
  if (sync?.stopped) return { words: "Nothing can be sent now. What is recorded stays here.", route: "#/status", doing: "Why" };
  if (counts && counts.refused > 0)
    return { words: `The server did not accept ${count(counts.refused, "entry", "entries")}.`, route: "#/status", doing: "Why" };
  const days = daysWaiting(counts, now);
  if (days >= loudDays) return { words: `Something on this phone has not been sent for ${days} days.`, route: "#/status", doing: "Send" };
  if (storage && storage.kept !== true && days >= 1)
    return { words: "This browser may drop what is not sent. Send it or save it to a file today.", route: "#/status", doing: "Send" };
  return undefined;
}

/** Whole days that the oldest of what is unsent has waited; 0 when nothing waits. */
export function daysWaiting(counts: Counts | null, now: Date): number {
  if (!counts?.oldestUnsent) return 0;
  return Math.max(0, Math.floor((now.getTime() - counts.oldestUnsent.getTime()) / 86_400_000));
}
