// Keeps photos that are not yet recorded among the phone's drafts: the roll under one key,
// the bytes of each under a key of their own, changed together or not at all. A photo's
// bytes are written before anything else is done with it; when keep has resolved, a dead
// battery does not lose it.

import type { Store } from "../../storage/store.ts";
import type { Told } from "./exif.ts";
import { reduceShots, type PendingAction, type Shot } from "./pendingphotos.ts";

const rollKey = "photos";
const bytesKey = (id: string) => `photo/${id}`;

/** The most one stored value may have; some browsers fail on larger ones. */
export const mostKeptBytes = 8 << 20;

export interface PhotoStore {
  shots(): Promise<readonly Shot[]>;
  /** Notes that the camera is being opened. */
  expect(shot: Shot): Promise<void>;
  /** Keeps a photo's bytes. Ready ones need not be brought to size; told is what the file of one says that was not taken at the tap. */
  keep(id: string, bytes: ArrayBuffer, ready: boolean, told?: Told): Promise<void>;
  /** Puts the bytes that are of the right size in place of the original's. */
  sized(id: string, bytes: ArrayBuffer): Promise<void>;
  bytes(id: string): Promise<ArrayBuffer | undefined>;
  note(action: PendingAction): Promise<void>;
  /** Forgets a photo: it is recorded, or it will not be taken. */
  done(id: string): Promise<void>;
  watch(changed: () => void): () => void;
}

const stores = new WeakMap<Store, PhotoStore>();

/** The store of photos: one for the whole page, so that its writes follow each other. */
export function photoStoreOf(store: Store): PhotoStore {
  const known = stores.get(store);
  if (known) return known;
  const made = newPhotoStore(store);
  stores.set(store, made);
  return made;
}

function newPhotoStore(store: Store): PhotoStore {
  const watchers = new Set<() => void>();
  let last: Promise<unknown> = Promise.resolve();
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = last.then(work, work);
    last = mine.catch(() => {}); // told to who asked; the next goes on
    return mine;
  };
  const read = async () => (await store.draft<readonly Shot[]>(rollKey)) ?? [];
  const write = async (action: PendingAction, ...bytes: readonly (readonly [string, ArrayBuffer | undefined])[]) => {
    await store.keepDrafts(new Map<string, unknown>([...bytes, [rollKey, reduceShots(await read(), action)]]));
    watchers.forEach((changed) => changed());
  };
  return {
    shots: () => inTurn(read),
    expect: (shot) => inTurn(() => write({ do: "expect", shot })),
    keep: (id, bytes, ready, told) => inTurn(() => write({ do: "keep", id, ready, ...(told ? { told } : {}) }, [bytesKey(id), bytes])),
    sized: (id, bytes) => inTurn(() => write({ do: "sized", id }, [bytesKey(id), bytes])),
    bytes: (id) => store.draft<ArrayBuffer>(bytesKey(id)),
    note: (action) => inTurn(() => write(action)),
    done: (id) => inTurn(() => write({ do: "done", id }, [bytesKey(id), undefined])),
    watch(changed) {
      watchers.add(changed);
      return () => void watchers.delete(changed);
    },
  };
}
