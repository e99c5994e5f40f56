// Whether the browser promises to keep what is stored, and how much room there is.

import { device } from "../base/page.ts";

export interface Storage {
  readonly kept: boolean | undefined; // whether the browser promised to keep what is stored; undefined: it cannot say
  readonly usedBytes: number;
  readonly freeBytes: number | undefined;
}

let asking: Promise<void> | undefined;

/**
 * Asks the browser to keep this page's storage, once at a time. Some ask the officer, who may
 * never answer: nothing may wait for this but news of the answer.
 */
export function askToKeep(): Promise<void> {
  const ask = async () => {
    if (!(await navigator.storage.persisted())) await navigator.storage.persist();
  };
  return (asking ??= ask()
    .catch(() => undefined)
    .finally(() => (asking = undefined))); // a browser that keeps nothing says so when asked what it keeps
}

/** What the browser says that it would still take, in bytes. */
export async function freeBytes(): Promise<number> {
  const { quota = Infinity, usage = 0 } = await navigator.storage.estimate();
  return quota - usage;
}

/** Whether the browser has promised; undefined when it does not say. */
export async function keptNow(): Promise<boolean | undefined> {
  try {
    return await navigator.storage?.persisted?.();
  } catch {
    return undefined;
  }
}

/** Tells how it stands, and again once the browser has an answer to whether it keeps what is stored. */
export function watchStorage(told: (storage: Storage) => void): void {
  void storageNow().then(told);
  void askToKeep().then(storageNow).then(told); // the officer may be asked, and need not answer
}

/**
 * How it stands. The room is the browser's guess: Chromium names what is used and 10 GiB
 * more, whatever the phone has left.
 */
export async function storageNow(): Promise<Storage> {
  const storage: StorageManager | undefined = navigator.storage;
  const kept = await keptNow();
  try {
    const { usage = 0, quota } = (await storage?.estimate?.()) ?? {};
    return { kept, usedBytes: usage, freeBytes: quota === undefined ? undefined : Math.max(0, quota - usage) };
  } catch {
    return { kept, usedBytes: 0, freeBytes: undefined };
  }
}

/** What the browser's answer means for the officer. */
export function keptWords(kept: boolean | undefined): string {
  if (kept) return `The browser has promised to keep what is on this ${device}.`;
  if (kept === false) return `The browser has not promised to keep what is on this ${device}. Send or save to a file every day.`;
  return `The browser does not say whether it keeps what is on this ${device}. Send or save to a file every day.`;
}
