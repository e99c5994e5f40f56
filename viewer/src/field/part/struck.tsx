// A form whose item is struck out: what it says, and what it saves.

import type { Fields } from "../../base/entry.ts";
import type { Draft } from "../../storage/store.ts";
import { Caution } from "../../ui/panel.tsx";

/** Says that the item is struck out, before anything is saved of it. */
export function Struck({ opened = false }: { opened?: boolean }) {
  return (
    <Caution>
      {opened ? "This item is struck out." : "This item was struck out while the form was open."} Save restores it. Go back to leave it
      struck out.
    </Caution>
  );
}

/** What to capture of a form: an entry either restores or sets. */
export function saving(feature: string, set: Fields, restores: boolean): readonly Draft[] {
  return [...(restores ? [{ feature, strike: false }] : []), ...(Object.keys(set).length > 0 ? [{ feature, set }] : [])];
}

/** What became of an item with a save: "restored, details saved". */
export function savedWords(saves: boolean, struck: boolean, restores: boolean): string {
  if (restores) return saves ? "restored, details saved" : "restored";
  return struck ? "details saved, still struck out" : "details saved";
}
