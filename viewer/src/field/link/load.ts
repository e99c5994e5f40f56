// How many entries go into a frame: what the line carries. Half as many when nothing got
// through before it broke, twice as many when something did.

import { frameEntries } from "./frames.ts";

export class Load {
  entries = frameEntries;

  through(): void {
    this.entries = Math.min(2 * this.entries, frameEntries);
  }

  broke(): void {
    this.entries = Math.max(Math.floor(this.entries / 2), 1);
  }
}
