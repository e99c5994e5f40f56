// The seasons of the property, kept on the phone.

import { useState } from "preact/hooks";
import { useField } from "../context/field.ts";
import { chosenSeasons, seasonsKey, usualSeasons, type Seasons } from "../../survey/visit/season.ts";
import { useAsking } from "../../ui/hooks.ts";

/** The setting, undefined while it is read, and how to change it. */
export function useSeasons(): [Seasons | undefined, (seasons: Seasons) => void] {
  const { store } = useField();
  const [seasons, set] = useState<Seasons | undefined>();
  useAsking(
    () => store.draft<Seasons>(seasonsKey),
    [],
    (kept) => set(chosenSeasons(kept)),
    () => set(usualSeasons),
  );
  const change = (to: Seasons) => {
    set(to);
    store.keepDraft(seasonsKey, to).catch(() => {}); // it is asked for again at worst
  };
  return [seasons, change];
}
