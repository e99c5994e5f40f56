// What every screen of the desk page is given. A screen is a function of this and of its own
// small state; it touches no database and no socket itself.

import { type ComponentType, createContext } from "preact";
import { useContext } from "preact/hooks";
import type { Params } from "../../base/route.ts";
import type { Model } from "../../compute/model.ts";
import type { Sheets } from "../../compute/sheets.ts";
import type { Store } from "../../storage/store.ts";
import type { State } from "./state.ts";

export type Screen = ComponentType<{ params: Params }>;

export interface Desk {
  readonly state: State;
  readonly store: Store;
  readonly model: Model;
  readonly sheets: Sheets;
  /** Opens a screen: "#/property/ID". in place: the way back does not lead through the one before. */
  go(address: string, inPlace?: boolean): void;
}

export const DeskContext = createContext<Desk | null>(null);

export function useDesk(): Desk {
  const desk = useContext(DeskContext);
  if (!desk) throw new Error("no desk around this screen");
  return desk;
}
