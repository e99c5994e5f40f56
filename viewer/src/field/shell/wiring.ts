// The page as it is built: the phone's own database, receiver, link and computations.

import { receiver } from "../../sensor/receiver.ts";
import { openSync } from "../../sync/sync.ts";
import { openStore } from "../../storage/phonestore.ts";
import { install } from "../serviceworker/install.ts";
import { WorkerModel } from "../../compute/model.ts";
import { SheetCache } from "../../compute/sheetcache.ts";
import type { Dependencies } from "../context/dependencies.ts";
import { StorageError } from "../../storage/store.ts";

const model = new WorkerModel();

export const dependencies: Dependencies = {
  openStore: () => inTime(openStore({ gather: (features) => model.gather(features) })),
  sync: (store) => openSync(store),
  install,
  fixes: receiver(),
  model,
  sheets: new SheetCache(model),
};

// The phone's store may never open: another page of this address holds on to it, or the
// browser does not answer. The officer is told, instead of waiting before an empty page.
/** Longer than an old phone takes for a full store, shorter than a person waits. */
const patienceMS = 15_000;

export function inTime<T>(opening: Promise<T>, withinMS = patienceMS): Promise<T> {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(neverOpened()), withinMS);
    opening.finally(() => clearTimeout(late)).then(resolve, reject);
  });
}

const neverOpened = () =>
  new StorageError(
    "damaged",
    "The browser does not open this phone's entries.",
    "Close all other tabs of this page and open it again. If that does not help, restart the phone. Clear nothing: they may still be readable.",
  );
