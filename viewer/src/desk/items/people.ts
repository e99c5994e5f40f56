// Who wrote the newest entry about each item: looked up in the store, once for each change.

import { useEffect, useRef, useState } from "preact/hooks";
import type { Feature } from "../../base/entry.ts";
import type { Store } from "../../storage/store.ts";
import { lastOf } from "../../survey/visit/visits.ts";

/** Items looked up between two drawings. */
const atATime = 200;

interface Known {
  readonly stamp: string; // of the item when it was looked up
  readonly person: string;
}

export interface People {
  /** "" while it is not known yet, and of what nobody is named for. */
  of(item: Feature): string;
  readonly known: number; // another whenever more is known
}

export function usePeople(store: Store, items: readonly Feature[]): People {
  const known = useRef(new Map<string, Known>());
  const [many, drawAgain] = useState(0);
  useEffect(() => {
    let here = true;
    const lookUp = async () => {
      const waiting = items.filter((f) => known.current.get(f.id)?.stamp !== f.stamp);
      for (let i = 0; i < waiting.length && here; i += atATime) {
        await Promise.all(
          waiting.slice(i, i + atATime).map(async (f) => {
            const newest = lastOf(await store.history(f.id));
            known.current.set(f.id, { stamp: f.stamp, person: newest?.entry.author ?? "" });
          }),
        );
        if (here) drawAgain((n) => n + 1);
      }
    };
    lookUp().catch(() => {}); // the shell tells what ails the store
    return () => void (here = false);
  }, [store, items]);
  return { of: (item) => known.current.get(item.id)?.person ?? "", known: many };
}
