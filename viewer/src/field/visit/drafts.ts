// Visits that were begun and not saved: each is kept on the phone under the item that it is to.

import type { Shelf } from "../shelf.ts";
import { isBegun, type Form } from "./form.ts";

const prefix = "visit/";
export const draftKey = (of: string): string => `${prefix}${of}`;

/** A visit that was begun, and the item that it is to. */
export interface BegunVisit {
  readonly of: string;
  readonly id: string; // its own: a visit of that id is saved already when the phone died just after
}

/** Those of all properties on the phone. */
export async function begunVisits(shelf: Shelf): Promise<readonly BegunVisit[]> {
  return [...(await shelf.draftsUnder<Form>(prefix))].flatMap(([of, form]) => (isBegun(form) ? [{ of, id: form.id }] : []));
}
