// Whether the browser promises to keep what is stored, and how much room there is.

import type { Storage } from "./state.ts";

/** Whether the browser has promised; undefined when it does not say. */
export async function keptNow(): Promise<boolean | undefined> {
  try {
    return await navigator.storage?.persisted?.();
  } catch {
    return undefined;
  }
}

/**
 * How it stands, and asks for the promise first where ask is true. The room is the browser's
 * guess: Chromium names what is used and 10 GiB more, whatever the phone has left.
 */
export async function storageNow(ask: boolean): Promise<Storage> {
  const storage: StorageManager | undefined = navigator.storage;
  let kept = await keptNow();
  try {
    if (kept === false && ask) kept = await storage.persist();
  } catch {
    kept = undefined;
  }
  try {
    const { usage = 0, quota } = (await storage?.estimate?.()) ?? {};
    return { kept, usedBytes: usage, freeBytes: quota === undefined ? undefined : Math.max(0, quota - usage) };
  } catch {
    return { kept, usedBytes: 0, freeBytes: undefined };
  }
}

/** What the browser's answer means for the officer. */
export function keptWords(kept: boolean | undefined): string {
  if (kept) return "The browser has promised to keep what is on this phone.";
  if (kept === false) return "The browser has not promised to keep what is on this phone. Send or save to a file every day.";
  return "The browser does not say whether it keeps what is on this phone. Send or save to a file every day.";
}
