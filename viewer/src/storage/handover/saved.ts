// Which of the unsent captures are also in a file that was saved from this phone. It is a
// note for the officer, no more: they stay on the phone until the server has them.

import type { Store } from "../store.ts";
import { idOf, type Holds } from "./file.ts";

const key = "handover";

export interface SavedFile extends Holds {
  readonly name: string;
  readonly atMS: number;
}

export const lastFile = (store: Store): Promise<SavedFile | undefined> => store.draft<SavedFile>(key);

export const rememberFile = (store: Store, file: SavedFile): Promise<void> => store.keepDraft(key, file);

/** How many entries and photos are nowhere but on this phone. */
export async function onlyHere(store: Store): Promise<{ entries: number; photos: number }> {
  const [{ entries, photos }, file] = await Promise.all([store.outbox.all(), lastFile(store)]);
  const inFile = new Set([...(file?.entries ?? []), ...(file?.photos ?? [])]);
  return {
    entries: entries.filter(({ text }) => !inFile.has(idOf(text))).length,
    photos: photos.filter((p) => !inFile.has(p.sha)).length,
  };
}
