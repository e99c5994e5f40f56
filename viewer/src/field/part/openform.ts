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

// Each item's is kept under a key of its own, so that a second form drops no word of the first.
const under = (property: string): string => `open-form ${property}`;
const keyOf = (property: string, feature: string): string => `${under(property)} ${feature}`;

/** The forms of a property that were left with something typed in them, the oldest first. */
export async function openForms(store: Store, property: string): Promise<readonly OpenForm[]> {
  const kept = await store.draftsUnder<OpenForm>(under(property));
  const oldest = [...kept].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, form]) => form); // the only one that older versions kept comes first
  return [...new Map(oldest.map((form) => [form.feature, form])).values()].filter((form) => Object.keys(form.values).length > 0);
}

/** What was typed in the form of one item and not saved. */
export async function openForm(store: Store, property: string, feature: string): Promise<OpenForm | undefined> {
  return (await openForms(store, property)).find((form) => form.feature === feature);
}

/** Keeps what is typed, one write after the other, the newest last. */
export function useOpenForm(feature: string, kind: Kind) {
  const field = useField();
  const property = field.property.id,
    key = keyOf(property, feature);
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
      return write(async () => {
        await field.store.dropDraft(key);
        if ((await field.store.draft<OpenForm>(under(property)))?.feature === feature) await field.store.dropDraft(under(property));
      });
    },
  };
}
