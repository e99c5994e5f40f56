// What the shell knows, for screens that show or change how the page itself stands.

import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { Saved, Store } from "../../storage/store.ts";
import type { Installation } from "../../serviceworker/install.ts";
import type { Dependencies } from "./dependencies.ts";
import type { Action, State } from "./state.ts";

/** What the shell's own screens need besides the field. */
export interface App {
  readonly state: State;
  readonly tell: (action: Action) => void;
  readonly dependencies: Dependencies;
  readonly store: Store;
  readonly installation: Installation;
  /** Undoes these entries and nothing else, and says so. */
  readonly undo: (entries: readonly Saved[], said?: string) => Promise<void>;
}

export const AppContext = createContext<App | null>(null);

export function useApp(): App {
  const app = useContext(AppContext);
  if (!app) throw new Error("no app around this screen");
  return app;
}
