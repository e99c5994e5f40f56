// The form that is open, kept as it is typed, so that a phone that dies loses no word.

import { useRef } from "preact/hooks";
import type { Fields } from "../../base/entry.ts";
import type { Store } from "../../storage/store.ts";
import type { Kind } from "../../base/kinds.ts";
import { useField } from "../context/field.ts";

export interface OpenForm {
  readonly feature: string;
  readonly kind: string;
  readonly values: Fields; // changed and not saved
}

export const openFormKey = (property: string): string => `open-form ${property}`;

/** The form of a property that was left with something typed in it. */
export async function openForm(store: Store, property: string): Promise<OpenForm | undefined> {
  const form = await store.draft<OpenForm>(openFormKey(property));
  return form && Object.keys(form.values).length > 0 ? form : undefined;
}

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
        await field.store.keepDraft(key, { feature, kind: kind.name, values } satisfies OpenForm);
      });
    },
    drop(): Promise<void> {
      newest.current = null;
      return write(() => field.store.dropDraft(key));
    },
  };
}
