// What every screen of the field page is given. A screen is a function of this and of its
// own small state; it touches no database, socket or sensor itself.

import { createContext, type ComponentType } from "preact";
import { useContext } from "preact/hooks";
import type { Draft, Property, Saved, Store } from "../../storage/store.ts";
import type { Feature } from "../../base/entry.ts";
import type { Fixes } from "../../sensor/fix.ts";
import type { Sync } from "../../sync/state.ts";
import type { Plans } from "../../compute/plan.ts";
import type { Sheets } from "../../compute/sheets.ts";
import type { Model } from "../../compute/model.ts";
import type { Params } from "../../base/route.ts";

export type { Params };

export type Screen = ComponentType<{ params: Params }>;

/** Undefined where it cannot go on. */
export type BringBack = () => Promise<string | undefined>;

export interface Field {
  readonly store: Store;
  readonly model: Model;
  readonly sheets: Sheets;
  readonly plans: Plans;
  readonly fixes: Fixes;
  readonly sync: Sync;
  readonly property: Property;
  readonly features: readonly Feature[]; // of the property, as they stand now
  /**
   * Saves, shakes the phone, and says so, with a way to take it back unless undoable is
   * false; throws StorageError when it could not. Where what is saved is the end of work under
   * way, bringBack gives that back when it is undone, and the address where it goes on.
   */
  capture(drafts: readonly Draft[], said: string, undoable?: boolean, bringBack?: BringBack): Promise<readonly Saved[]>;
  /** Opens a screen: "#/mark/gully-head". */
  go(route: string): void;
  back(): void;
  /** Puts words into the status region. */
  say(words: string): void;
  /** Says why nothing was saved, until the officer does something about it. */
  refuse(why: string): void;
}

export const FieldContext = createContext<Field | null>(null);

export function useField(): Field {
  const field = useContext(FieldContext);
  if (!field) throw new Error("no field around this screen");
  return field;
}
