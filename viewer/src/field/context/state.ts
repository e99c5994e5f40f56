// What the shell of the field page knows besides what every device does, and how it changes:
// pure, so that it can be tested without a page.

import { type DeviceAction, deviceAtStart, type DeviceState, reduceDevice } from "../../device/state.ts";
import type { Saved } from "../../storage/store.ts";
import type { Fix } from "../../sensor/fix.ts";

/** What was said last, and the entries that "Undo" beside it undoes. */
export interface Said {
  readonly words: string;
  readonly n: number; // grows, so that the same words said twice are news
  readonly undo?: readonly Saved[];
  readonly struck?: readonly string[]; // the items that what was done here struck out: a form that is open on one closes
  readonly resumes?: string; // the address at which what was undone goes on
  readonly address: string; // the screen that it belongs to
  readonly answered: boolean; // the officer has done something since
  readonly refusal: boolean; // why something was not saved: it stands until she does something about it
}

export interface State extends DeviceState {
  readonly address: string; // "#/mark/peg"
  readonly fix: Fix | null;
  readonly fixTrouble: string;
  readonly said: Said;
}

export type Action =
  | DeviceAction
  | { readonly do: "go"; readonly address: string }
  | { readonly do: "fix"; readonly fix: Fix }
  | { readonly do: "no-fix"; readonly why: string }
  | {
      readonly do: "say";
      readonly words: string;
      readonly undo?: readonly Saved[];
      readonly struck?: readonly string[];
      readonly resumes?: string | undefined;
      readonly refusal?: boolean;
    }
  | { readonly do: "acted" }; // the officer tapped or typed

export const start = (address: string): State => ({
  ...deviceAtStart,
  address,
  fix: null,
  fixTrouble: "",
  said: silent(0, address),
});

export function reduce(state: State, action: Action): State {
  switch (action.do) {
    case "go":
      return { ...state, address: action.address, said: carried(state.said, action.address) };
    case "property": {
      const next = reduceDevice(state, action);
      return action.property.id === state.property?.id ? next : { ...next, said: silent(state.said.n, state.address) };
    }
    case "fix":
      return { ...state, fix: action.fix, fixTrouble: "" };
    case "no-fix":
      return { ...state, fixTrouble: action.why };
    case "say":
      return {
        ...state,
        said: {
          ...silent(state.said.n + 1, state.address),
          words: action.words,
          refusal: action.refusal ?? false,
          ...(action.undo ? { undo: action.undo } : {}),
          ...(action.struck?.length ? { struck: action.struck } : {}),
          ...(action.resumes ? { resumes: action.resumes } : {}),
        },
      };
    case "acted":
      if (state.said.words === "" || (state.said.answered && !state.said.refusal)) return state;
      return { ...state, said: state.said.refusal ? silent(state.said.n, state.address) : { ...state.said, answered: true } };
    default:
      return reduceDevice(state, action);
  }
}

/** A drawing under way has an undo of its own, and its words and figures fill the screen. */
const drawn = /^#\/(line\/.|shape\/)/;

/**
 * What was said belongs to the screen on which the officer reads it: the one on which it was
 * said, or the one to which the save itself led before she did anything else. On any other
 * its "Undo" would stand beside something else, and a refusal speak of a form that is gone.
 */
function carried(said: Said, address: string): Said {
  if (said.words === "" || said.address === address) return said;
  return said.answered || said.refusal || drawn.test(address) ? silent(said.n, address) : { ...said, address, answered: true };
}

function silent(n: number, address: string): Said {
  return { words: "", n, address, answered: false, refusal: false };
}
