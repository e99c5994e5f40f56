// The seasons of the property, kept on the phone.

import { useEffect, useState } from "preact/hooks";
import { useField } from "../context/field.ts";
import { chosenSeasons, seasonsKey, usualSeasons, type Seasons } from "../../survey/visit/season.ts";

/** The setting, undefined while it is read, and how to change it. */
export function useSeasons(): [Seasons | undefined, (seasons: Seasons) => void] {
  const { store } = useField();
  const [seasons, set] = useState<Seasons | undefined>();
  useEffect(() => {
    let here = true;
    store.draft<Seasons>(seasonsKey).then(
      (kept) => here && set(chosenSeasons(kept)),
      () => here && set(usualSeasons),
    );
    return () => void (here = false);
  }, []);
  const change = (to: Seasons) => {
    set(to);
    store.keepDraft(seasonsKey, to).catch(() => {}); // it is asked for again at worst
  };
  return [seasons, change];
}
