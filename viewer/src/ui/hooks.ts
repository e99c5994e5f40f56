// Hooks that controls and screens share.

import { useLayoutEffect, useState } from "preact/hooks";

/**
 * What was read; undefined until it is there. It is asked for with the first draw, not after
 * the first picture, so that a quick phone shows both at once. When it cannot be read, it
 * is otherwise: the shell tells what ails the store.
 */
export function useRead<T>(read: () => Promise<T>, otherwise: T, of: string): T | undefined {
  const [found, set] = useState<{ of: string; value: T } | undefined>();
  useLayoutEffect(() => {
    let here = true;
    read()
      .catch(() => otherwise)
      .then((value) => here && set({ of, value }));
    return () => void (here = false);
  }, [of]);
  return found?.of === of ? found.value : undefined;
}

// An id for a label and its field. Preact's own useId starts from nought again whenever the
// page is drawn again from its root, and so gives one id to several fields.
let given = 0;

export function useOwnID(): string {
  return useState(() => `field-${++given}`)[0];
}
