// The open form's end of openform.ts.

import { useRef } from "preact/hooks";
import type { Kind } from "../app/kinds.ts";
import type { Fields } from "../entry.ts";
import { useField } from "../field.ts";
import { openFormKey, type OpenForm } from "./openform.ts";

/** Keeps what is typed, one write after the other, the newest last. */
export function useOpenForm(feature: string, kind: Kind) {
  const field = useField();
  const key = openFormKey(field.property.id);
  const writing = useRef<Promise<void>>(Promise.resolve());
  const newest = useRef<Fields | null>(null);
  const write = (work: () => Promise<void>) => (writing.current = writing.current.then(work, work).catch(() => {}));
  return {
    keep(values: Fields): void {
      newest.current = values;
      void write(async () => {
        if (newest.current !== values) return; // more was typed since
        await field.shelf.keepDraft(key, { feature, kind: kind.name, values } satisfies OpenForm);
      });
    },
    drop(): Promise<void> {
      newest.current = null;
      return write(() => field.shelf.dropDraft(key));
    },
  };
}
