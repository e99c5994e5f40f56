// The receiver's end of survey/form/position.ts: it averages from when the screen opens until it closes.

import { useEffect, useReducer, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { useField } from "../context/field.ts";
import { distance } from "../../base/words.ts";
import { place, placeFields, toStoreNow, unplaced, type Placed, type Placing } from "../../survey/form/position.ts";

export interface Averaging {
  readonly placing: Placing;
  readonly tell: (action: Placed) => void;
  readonly trouble: string;
  /** Takes a position that would be refused, from now until the screen closes. */
  readonly takeAnyway: () => void;
}

export function usePlacing(): Averaging {
  const field = useField();
  const { dependencies: parts } = useApp();
  const [placing, tell] = useReducer(place, unplaced);
  const [trouble, setTrouble] = useState("");
  useEffect(() => {
    const stop = field.fixes.average((mean) => {
      setTrouble("");
      tell({ do: "mean", mean });
    }, setTrouble);
    return () => {
      stop();
      parts.fixes.acceptRough(false);
    };
  }, []);
  const takeAnyway = () => {
    parts.fixes.acceptRough(true);
    tell({ do: "anyway" });
  };
  return { placing, tell, trouble, takeAnyway };
}

/** Saves what should not wait for the officer's save: it may be that the phone dies before. */
export function useStoreNow(
  averaging: Averaging | undefined,
  feature: string,
  name: string, // "the peg"
  wanted: boolean,
  failed: (error: unknown) => void,
): void {
  const field = useField();
  const found = averaging && wanted ? toStoreNow(averaging.placing) : null;
  useEffect(() => {
    if (!averaging || !found) return;
    averaging.tell({ do: "stored", fix: found });
    const { jumpedM } = averaging.placing;
    field
      .capture(
        [{ feature, set: placeFields(found) }],
        `Position of ${name} ${jumpedM ? `moved: GPS jumped ${distance(jumpedM)}` : "saved"}`,
      )
      .catch(failed);
  }, [found !== null]);
}
