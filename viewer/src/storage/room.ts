// Whether the browser has promised to keep what is stored, and how much room there is.

export interface Room {
  /** true: kept until the officer removes it; false: the browser may remove it when the phone runs full. */
  readonly kept: boolean;
  readonly usedBytes: number;
  readonly freeBytes: number;
  /** false once the storage has been full: only entries are saved, until there is room again. */
  readonly photos: boolean;
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

export async function room(photos: boolean): Promise<Room> {
  try {
    const [kept, { quota = 0, usage = 0 }] = await Promise.all([navigator.storage.persisted(), navigator.storage.estimate()]);
    return { kept, usedBytes: usage, freeBytes: Math.max(0, quota - usage), photos };
  } catch {
    return { kept: false, usedBytes: 0, freeBytes: 0, photos };
  }
}
