// The receiver's end of position.ts: it averages from when the screen opens until it closes.

import { useEffect, useReducer, useState } from "preact/hooks";
import { useField } from "../field.ts";
import { place, unplaced, type Placed, type Placing } from "./position.ts";

export function usePlacing(): { placing: Placing; tell: (action: Placed) => void; trouble: string } {
  const field = useField();
  const [placing, tell] = useReducer(place, unplaced);
  const [trouble, setTrouble] = useState("");
  useEffect(
    () =>
      field.fixes.average(
        (mean) => {
          setTrouble("");
          tell({ do: "mean", mean });
        },
        setTrouble,
      ),
    [],
  );
  return { placing, tell, trouble };
}
