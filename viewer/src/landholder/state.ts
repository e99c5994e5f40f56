// All that changes on the page, as values and one function from state and action to state.

import { isWhole, type Item, itemOf, type Land } from "./land.ts";
import { type Status, statusOf } from "../base/item.ts";

/** Why there is no map, or no newer one. */
export type Trouble = "ended" | "unconfirmed" | "unknown" | "offline" | "broken";

export interface State {
  readonly land: Land | null;
  readonly asking: boolean;
  readonly trouble: Trouble | null;
  readonly selected: string | null;
  /** Who chose: the other side of the page follows, and the focus only from the list. */
  readonly selectedFrom: "map" | "list" | null;
  readonly hiddenKinds: readonly string[];
  readonly hiddenStatuses: readonly Status[];
}

export type Action =
  | { do: "ask" }
  | { do: "part"; land: Land } // more of it comes
  | { do: "show"; land: Land }
  | { do: "trouble"; trouble: Trouble }
  | { do: "select"; id: string | null; from: "map" | "list" }
  | { do: "toggle-kind"; kind: string }
  | { do: "toggle-status"; status: Status };

const start: State = {
  land: null,
  asking: true,
  trouble: null,
  selected: null,
  selectedFrom: null,
  hiddenKinds: [],
  hiddenStatuses: [],
};

/** The state of a page that came with its land, or must ask for it or for the rest of it. */
export function startWith(land: Land | null): State {
  return land ? { ...start, land, asking: !isWhole(land) } : start;
}

export function reduce(state: State, action: Action): State {
  switch (action.do) {
    case "ask":
      return { ...state, asking: true };
    case "part":
      return state.land && isWhole(state.land) ? state : { ...state, land: action.land };
    case "show": {
      const stays = itemOf(action.land, state.selected) !== undefined;
      return { ...state, land: action.land, asking: false, trouble: null, selected: stays ? state.selected : null };
    }
    case "trouble": {
      const gone = action.trouble === "ended" || action.trouble === "unconfirmed" || action.trouble === "unknown";
      // What a link no longer shows is taken off the screen; a lost connection takes nothing.
      return { ...state, asking: false, trouble: action.trouble, ...(gone ? { land: null, selected: null } : {}) };
    }
    case "select":
      return { ...state, selected: action.id, selectedFrom: action.from };
    case "toggle-kind":
      return letGoOfHidden({ ...state, hiddenKinds: toggled(state.hiddenKinds, action.kind) });
    case "toggle-status":
      return letGoOfHidden({ ...state, hiddenStatuses: toggled(state.hiddenStatuses, action.status) });
  }
}

function toggled<T>(list: readonly T[], item: T): readonly T[] {
  return list.includes(item) ? list.filter((i) => i !== item) : [...list, item];
}

/** A work taken off the map is no longer the selected one. */
function letGoOfHidden(state: State): State {
  const work = state.land?.works.find((w) => w.id === state.selected);
  return work && !isShown(state, work) ? { ...state, selected: null } : state;
}

export function isShown(state: State, work: Item): boolean {
  return !state.hiddenKinds.includes(work.kind) && !state.hiddenStatuses.includes(statusOf(work));
}
