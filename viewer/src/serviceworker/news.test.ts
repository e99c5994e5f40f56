// What the worker tells the other workers and pages. Its scripts are loaded once for all tests, and
// open their channel then: whichever test comes first, each hears it here.

import type { Taken } from "./scope.ts";

export const told: Taken[] = [];

export class Channel {
  onmessage: unknown;
  postMessage(said: Taken) {
    told.push(said);
  }
}
