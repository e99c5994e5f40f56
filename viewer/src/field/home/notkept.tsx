// Told on the first screen at every start as long as the browser has not promised to keep
// what is stored: it may drop it when the phone runs short.

import { useApp } from "../app/shell.tsx";
import { keptWords } from "../app/storage.ts";
import { Caution } from "../kit/part.tsx";

export function NotKept() {
  const { storage } = useApp().state;
  return storage && storage.kept !== true ? <Caution>{keptWords(storage.kept)}</Caution> : null;
}
