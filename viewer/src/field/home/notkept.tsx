// Told on the first screen at every start as long as the browser has not promised to keep
// what is stored: it may drop it when the phone runs short. A promise that comes while this
// is read is told in the same place.

import { useApp } from "../app/shell.tsx";
import { keptWords } from "../app/storage.ts";
import { Caution } from "../kit/part.tsx";

export function NotKept({ kept }: { kept: boolean | undefined }) {
  const { storage } = useApp().state;
  return <Caution>{keptWords(storage?.kept || kept)}</Caution>;
}
