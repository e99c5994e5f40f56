// All that the shell of the page knows, and how it changes: pure, so that it can be tested
// without a page.

import type { Feature } from "../../base/entry.ts";
import type { SyncState } from "../../sync/state.ts";
import type { Copied, Property, Saved, Self, StorageError, Counts } from "../../storage/store.ts";
import { partsOf } from "../../storage/properties.ts";
import type { Installed } from "../serviceworker/install.ts";
import type { Storage } from "../../storage/persistence.ts";
import type { Fix } from "../../sensor/fix.ts";

/** Why the page cannot go on, and what to do. */
export interface Stop {
  readonly what: string;
  readonly todo: string;
}

/** What was said last, and the entries that "Undo" beside it undoes. */
export interface Said {
  readonly words: string;
  readonly n: number; // grows, so that the same words said twice are news
  readonly undo?: readonly Saved[];
  readonly struck?: readonly string[]; // the items that what was done here struck out: a form that is open on one closes
  readonly address: string; // the screen that it belongs to
  readonly answered: boolean; // the officer has done something since
  readonly refusal: boolean; // why something was not saved: it stands until she does something about it
}

export interface State {
  readonly address: string; // "#/mark/peg"
  readonly stop: Stop | null;
  readonly opened: boolean; // the store is open
  readonly self: Self | null;
  readonly property: Property | null;
  readonly features: readonly Feature[];
  readonly featuresRead: boolean; // none before that does not mean that there are none
  readonly counts: Counts | null;
  readonly trouble: StorageError | null; // why nothing can be recorded now, though the page is open
  readonly copied: Copied | null | undefined; // what can be brought back when the store has lost something; undefined until it is known
  readonly cloned: boolean; // another phone writes under this one's number
  readonly sync: SyncState | null;
  readonly installed: Installed | null;
  readonly fix: Fix | null;
  readonly fixTrouble: string;
  readonly storage: Storage | null;
  readonly said: Said;
}

export type Action =
  | { readonly do: "opened"; readonly self: Self | null; readonly property: Property | null }
  | { readonly do: "self"; readonly self: Self; readonly property: Property | null }
  | { readonly do: "stop"; readonly stop: Stop }
  | { readonly do: "go"; readonly address: string }
  | { readonly do: "property"; readonly property: Property }
  | { readonly do: "features"; readonly property: string; readonly features: readonly Feature[] }
  | { readonly do: "changed"; readonly features: readonly Feature[] }
  | { readonly do: "counts"; readonly counts: Counts }
  | { readonly do: "trouble"; readonly trouble: StorageError | null; readonly cloned: boolean }
  | { readonly do: "copied"; readonly copied: Copied | null }
  | { readonly do: "sync"; readonly sync: SyncState }
  | { readonly do: "installed"; readonly installed: Installed }
  | { readonly do: "fix"; readonly fix: Fix }
  | { readonly do: "no-fix"; readonly why: string }
  | { readonly do: "storage"; readonly storage: Storage }
  | {
      readonly do: "say";
      readonly words: string;
      readonly undo?: readonly Saved[];
      readonly struck?: readonly string[];
      readonly refusal?: boolean;
    }
  | { readonly do: "acted" }; // the officer tapped or typed

export const start = (address: string): State => ({
  address,
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
  fix: null,
  fixTrouble: "",
  storage: null,
  said: silent(0, address),
});

export function reduce(state: State, action: Action): State {
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
    case "go":
      return { ...state, address: action.address, said: carried(state.said, action.address) };
    case "property":
      return {
        ...state,
        property: action.property,
        features: [],
        featuresRead: false,
        ...(action.property.id !== state.property?.id && { said: silent(state.said.n, state.address) }),
      };
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
    case "fix":
      return { ...state, fix: action.fix, fixTrouble: "" };
    case "no-fix":
      return { ...state, fixTrouble: action.why };
    case "storage":
      return { ...state, storage: action.storage };
    case "say":
      return {
        ...state,
        said: {
          ...silent(state.said.n + 1, state.address),
          words: action.words,
          refusal: action.refusal ?? false,
          ...(action.undo ? { undo: action.undo } : {}),
          ...(action.struck?.length ? { struck: action.struck } : {}),
        },
      };
    case "acted":
      if (state.said.words === "" || (state.said.answered && !state.said.refusal)) return state;
      return { ...state, said: state.said.refusal ? silent(state.said.n, state.address) : { ...state.said, answered: true } };
  }
}

/** A drawing under way has an undo of its own, and its words and figures fill the screen. */
const drawn = /^#\/(line\/.|shape\/)/;

/**
 * What was said belongs to the screen on which the officer reads it: the one on which it was
 * said, or the one to which the save itself led before she did anything else. On any other
 * its "Undo" would stand beside something else.
 */
function carried(said: Said, address: string): Said {
  if (said.words === "" || said.address === address) return said;
  return said.answered || drawn.test(address) ? silent(said.n, address) : { ...said, address, answered: true };
}

function silent(n: number, address: string): Said {
  return { words: "", n, address, answered: false, refusal: false };
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
