// Hooks that controls and screens share.

import { useEffect, useLayoutEffect, useState } from "preact/hooks";

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

/** Asks again whenever what is named in of changes. What is answered after that, or after the screen has closed, is dropped. */
export function useAsking<T>(
  ask: () => Promise<T> | undefined,
  of: readonly unknown[],
  answered: (value: T) => void,
  failed: (error: unknown) => void = () => {},
): void {
  useEffect(() => {
    let here = true;
    ask()?.then(
      (value) => here && answered(value),
      (error: unknown) => here && failed(error),
    );
    return () => void (here = false);
  }, of);
}

// An id for a label and its field. Preact's own useId starts from nought again whenever the
// page is drawn again from its root, and so gives one id to several fields.
let given = 0;

export function useOwnID(): string {
  return useState(() => `field-${++given}`)[0];
}

/** Whether the page is being printed. */
export function usePrinting(): boolean {
  const [printing, setPrinting] = useState(false);
  useEffect(() => {
    const [begin, end] = [() => setPrinting(true), () => setPrinting(false)];
    window.addEventListener("beforeprint", begin);
    window.addEventListener("afterprint", end);
    return () => {
      window.removeEventListener("beforeprint", begin);
      window.removeEventListener("afterprint", end);
    };
  }, []);
  return printing;
}
