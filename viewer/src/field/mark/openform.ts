// The form that is open, kept as it is typed, so that a phone that dies loses no word.

import type { Fields } from "../entry.ts";

export interface OpenForm {
  readonly feature: string;
  readonly kind: string;
  readonly values: Fields; // changed and not saved
}

export const openFormKey = (property: string): string => `open-form ${property}`;
