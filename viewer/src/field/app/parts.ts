// What the page is put together from: its store, its link, the receiver and the
// computations. The shell is given them, so that it can be tested with others.

import type { Link, Model } from "../field.ts";
import type { Receiver } from "../place/fixes.ts";
import type { Shelf } from "../shelf.ts";
import type { Sheets } from "./sheets.ts";
import type { Installation } from "../worker/install.ts";

export type { Check, Figure, LongSection, Sheet, Sheets } from "./sheets.ts";

export interface Parts {
  openShelf(): Promise<Shelf>;
  link(shelf: Shelf): Link;
  /** Puts the page itself on the phone, so that it opens with no signal. */
  install(): Installation;
  readonly fixes: Receiver;
  readonly model: Model;
  readonly sheets: Sheets;
}
