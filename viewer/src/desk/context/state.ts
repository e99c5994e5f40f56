// What the shell of the desk page knows besides what every device does: pure.

import { type DeviceAction, deviceAtStart, type DeviceState, reduceDevice } from "../../device/state.ts";

export interface State extends DeviceState {
  readonly address: string; // "#/property/ID/ITEM"
  readonly said: string; // what happened of itself, until another screen opens
}

export type Action = DeviceAction | { readonly do: "go"; readonly address: string } | { readonly do: "say"; readonly words: string };

export const start = (address: string): State => ({ ...deviceAtStart, address, said: "" });

export function reduce(state: State, action: Action): State {
  switch (action.do) {
    case "go":
      return action.address === state.address ? state : { ...state, address: action.address, said: "" };
    case "say":
      return { ...state, said: action.words };
    default:
      return reduceDevice(state, action);
  }
}
