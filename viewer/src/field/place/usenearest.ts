// A list with the nearest things first that does not turn under the finger: it is ordered
// from where the officer stood when it was opened, and again when she asks for it.

import { useMemo, useState } from "preact/hooks";
import { useApp } from "../app/shell.tsx";
import { distance } from "../app/words.ts";
import type { Feature } from "../entry.ts";
import type { Fix } from "../field.ts";
import { nearestFirst } from "./nearest.ts";

export interface Nearest {
  readonly things: readonly Feature[];
  /** "120 m away" from where she stands now; a blank of the same height where that is not known. */
  readonly away: (thing: Feature) => string;
  /** Orders the list from here; absent as long as nobody knows where that is. */
  readonly again?: () => void;
}

export function useNearest(features: readonly Feature[], fix: Fix | undefined): Nearest {
  const known = useApp().state.fix ?? undefined;
  const [from, setFrom] = useState(known);
  const here = fix ?? known;
  const things = useMemo(() => nearestFirst(features, from).map((n) => n.feature), [features, from]);
  const awayM = useMemo(() => new Map(nearestFirst(features, here).map((n) => [n.feature.id, n.awayM])), [features, here?.lon, here?.lat]);
  const away = (thing: Feature) => {
    const m = awayM.get(thing.id);
    return m === undefined ? "\u00a0" : `${distance(m)} away`;
  };
  return { things, away, ...(here && { again: () => setFrom(here) }) };
}
