// The form that is open, kept as it is typed, so that a phone that dies loses no word.

import type { Fields } from "../entry.ts";
import type { Shelf } from "../shelf.ts";

export interface OpenForm {
  readonly feature: string;
  readonly kind: string;
  readonly values: Fields; // changed and not saved
}

export const openFormKey = (property: string): string => `open-form ${property}`;

/** The form of a property that was left with something typed in it. */
export async function openForm(shelf: Shelf, property: string): Promise<OpenForm | undefined> {
  const form = await shelf.draft<OpenForm>(openFormKey(property));
  return form && Object.keys(form.values).length > 0 ? form : undefined;
}
