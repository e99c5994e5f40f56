// The receiver's end of survey/form/position.ts: it averages from when the screen opens until it closes.

import { useEffect, useReducer, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { useField } from "../context/field.ts";
import { place, unplaced, type Placed, type Placing } from "../../survey/form/position.ts";

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
