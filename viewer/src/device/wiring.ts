// A device as it is built: its own database, its link to the server, and the computations.

import { device } from "../base/page.ts";
import { WorkerModel } from "../compute/model.ts";
import { SheetCache } from "../compute/sheetcache.ts";
import { install } from "../serviceworker/install.ts";
import { openStore } from "../storage/phonestore.ts";
import { StorageError } from "../storage/store.ts";
import { openSync } from "../sync/sync.ts";
import type { DeviceDependencies } from "./device.ts";

export function wired(): DeviceDependencies {
  const model = new WorkerModel(),
    sheets = new SheetCache(model);
  return {
    openStore: () => inTime(openStore({ gather: (features) => model.gather(features) })),
    sync: (store) => openSync(store),
    install,
    model,
    sheets,
    plans: sheets,
  };
}

// The store may never open: another page of this address holds on to it, or the browser does
// not answer. The officer is told, instead of waiting before an empty page.
/** Longer than an old phone takes for a full store, shorter than a person waits. */
const patienceMS = 15_000;

function inTime<T>(opening: Promise<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(neverOpened()), patienceMS);
    opening.finally(() => clearTimeout(late)).then(resolve, reject);
  });
}

const neverOpened = () =>
  new StorageError(
    "damaged",
    `The browser does not open this ${device}'s entries.`,
    `Close all other tabs of this page and open it again. If that does not help, restart the ${device}. Clear nothing: they may still be readable.`,
  );
