// Shapes and places whose editing was begun and not saved: each is kept on the phone under its item.

import type { Shelf } from "../shelf.ts";
import type { Course } from "./course.ts";

export interface ShapeDraft {
  readonly course: Omit<Course, "before">;
  readonly of: string; // the stamp of the item then
}

const prefix = "shape ";
export const draftKey = (id: string): string => `${prefix}${id}`;

/** The items whose editing was cut off, of all properties on the phone, and the stamps that they had. */
export async function begunShapes(shelf: Shelf): Promise<ReadonlyMap<string, string>> {
  return new Map([...(await shelf.draftsUnder<ShapeDraft>(prefix))].map(([id, draft]) => [id, draft.of]));
}
