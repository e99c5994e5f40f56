// Which of the unsent captures are also in a file that was saved from this phone. It is a
// note for the officer, no more: they stay on the phone until the server has them.

import type { Shelf } from "../store.ts";
import { idOf, type Holds } from "./file.ts";

const key = "handover";

export interface SavedFile extends Holds {
  readonly name: string;
  readonly atMS: number;
}

export const lastFile = (shelf: Shelf): Promise<SavedFile | undefined> => shelf.draft<SavedFile>(key);

export const rememberFile = (shelf: Shelf, file: SavedFile): Promise<void> => shelf.keepDraft(key, file);

/** How many entries and photos are nowhere but on this phone. */
export async function onlyHere(shelf: Shelf): Promise<{ entries: number; photos: number }> {
  const [{ entries, photos }, file] = await Promise.all([shelf.outbox.all(), lastFile(shelf)]);
  const inFile = new Set([...(file?.entries ?? []), ...(file?.photos ?? [])]);
  return {
    entries: entries.filter(({ text }) => !inFile.has(idOf(text))).length,
    photos: photos.filter((p) => !inFile.has(p.sha)).length,
  };
}
