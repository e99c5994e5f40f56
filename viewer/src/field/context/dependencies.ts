// What the page is put together from: its store, its link, the receiver and the
// computations. The shell is given them, so that it can be tested with others.

import type { Model } from "../../compute/model.ts";
import type { Receiver } from "../../sensor/receiver.ts";
import type { Store } from "../../storage/store.ts";
import type { Sheets } from "../../compute/sheets.ts";
import type { Installation } from "../serviceworker/install.ts";
import type { Sync } from "../../sync/state.ts";

export interface Dependencies {
  openStore(): Promise<Store>;
  sync(store: Store): Sync;
  /** Puts the page itself on the phone, so that it opens with no signal. */
  install(): Installation;
  readonly fixes: Receiver;
  readonly model: Model;
  readonly sheets: Sheets;
}
