// What every page that is an officer's device knows of itself, and how that changes: pure, so
// that it can be tested without a page.

import type { Feature } from "../base/entry.ts";
import { partsOf } from "../storage/properties.ts";
import type { Storage } from "../storage/persistence.ts";
import type { Copied, Counts, Property, Self, StorageError } from "../storage/store.ts";
import type { Installed } from "../serviceworker/install.ts";
import type { SyncState } from "../sync/state.ts";

/** Why the page cannot go on, and what to do. */
export interface Stop {
  readonly what: string;
  readonly todo: string;
}

export interface DeviceState {
  readonly stop: Stop | null;
  readonly opened: boolean; // the store is open
  readonly self: Self | null;
  readonly property: Property | null; // the one that is open
  readonly features: readonly Feature[]; // its own
  readonly featuresRead: boolean; // none before that does not mean that there are none
  readonly counts: Counts | null;
  readonly trouble: StorageError | null; // why nothing can be recorded now, though the page is open
  readonly copied: Copied | null | undefined; // what can be brought back when the store has lost something; undefined until it is known
  readonly cloned: boolean; // another device writes under this one's number
  readonly sync: SyncState | null;
  readonly installed: Installed | null;
  readonly storage: Storage | null;
}

export type DeviceAction =
  | { readonly do: "opened"; readonly self: Self | null; readonly property: Property | null }
  | { readonly do: "self"; readonly self: Self; readonly property: Property | null }
  | { readonly do: "stop"; readonly stop: Stop }
  | { readonly do: "property"; readonly property: Property }
  | { readonly do: "features"; readonly property: string; readonly features: readonly Feature[] }
  | { readonly do: "changed"; readonly features: readonly Feature[] }
  | { readonly do: "counts"; readonly counts: Counts }
  | { readonly do: "trouble"; readonly trouble: StorageError | null; readonly cloned: boolean }
  | { readonly do: "copied"; readonly copied: Copied | null }
  | { readonly do: "sync"; readonly sync: SyncState }
  | { readonly do: "installed"; readonly installed: Installed }
  | { readonly do: "storage"; readonly storage: Storage };

export const deviceAtStart: DeviceState = {
  stop: null,
  opened: false,
  self: null,
  property: null,
  features: [],
  featuresRead: false,
  counts: null,
  trouble: null,
  copied: undefined,
  cloned: false,
  sync: null,
  installed: null,
  storage: null,
};

/** Changes what a page knows of itself, and leaves alone what else it knows. */
export function reduceDevice<State extends DeviceState>(state: State, action: DeviceAction): State {
  switch (action.do) {
    case "opened":
      return { ...state, opened: true, self: action.self, property: action.property };
    case "self": {
      // the office or the officer changed what properties there are
      const same =
        action.property?.id === state.property?.id &&
        partsOf(action.self.properties, action.property?.id ?? "").join() ===
          partsOf(state.self?.properties ?? [], state.property?.id ?? "").join();
      return { ...state, self: action.self, property: action.property, ...(!same && { features: [], featuresRead: false }) };
    }
    case "stop":
      return { ...state, stop: action.stop };
    case "property":
      return { ...state, property: action.property, features: [], featuresRead: false };
    case "features": // of the property that was chosen when they were asked for
      return action.property === state.property?.id ? { ...state, features: action.features, featuresRead: true } : state;
    case "changed":
      return {
        ...state,
        features: merged(
          state.features,
          action.features.filter(
            (f) => state.property !== null && partsOf(state.self?.properties ?? [], state.property.id).includes(f.property),
          ),
        ),
      };
    case "counts":
      return { ...state, counts: action.counts };
    case "trouble":
      return { ...state, trouble: action.trouble, cloned: action.cloned, copied: action.trouble ? state.copied : undefined };
    case "copied":
      return { ...state, copied: action.copied };
    case "sync":
      return { ...state, sync: action.sync };
    case "installed":
      return { ...state, installed: action.installed };
    case "storage":
      return { ...state, storage: action.storage };
  }
}

/** The features with those that changed in their places, new ones at the end. */
function merged(all: readonly Feature[], changed: readonly Feature[]): readonly Feature[] {
  if (changed.length === 0) return all;
  const left = new Map(changed.map((f) => [f.id, f]));
  const out = all.map((f) => {
    const now = left.get(f.id);
    if (now) left.delete(f.id);
    return now ?? f;
  });
  return out.concat([...left.values()]);
}

/** Whether the device must be enrolled as a new one: its number is lost, refused, or another's too. */
export const mustEnrolAgain = (state: DeviceState): boolean => state.cloned || state.trouble !== null || state.sync?.state === "refused";
