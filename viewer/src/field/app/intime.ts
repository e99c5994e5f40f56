// The phone's store may never open: another page of this address holds on to it, or the
// browser does not answer. The officer is told, instead of waiting before an empty page.

import { ShelfTrouble } from "../shelf.ts";

/** Longer than an old phone takes for a full store, shorter than a person waits. */
const patienceMS = 15_000;

export function inTime<T>(opening: Promise<T>, withinMS = patienceMS): Promise<T> {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(neverOpened()), withinMS);
    opening.finally(() => clearTimeout(late)).then(resolve, reject);
  });
}

const neverOpened = () =>
  new ShelfTrouble("damaged", "The browser does not open this phone's entries.",
    "Close all other tabs of this page and open it again. If that does not help, restart the phone. Clear nothing: they may still be readable.");
