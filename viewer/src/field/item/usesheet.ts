// What the computations say about a thing, which comes after the rest of its screen: the
// first time some seconds later, while they load.

import { useEffect, useState } from "preact/hooks";
import type { Sheet } from "../../compute/sheets.ts";
import { useApp } from "../context/app.ts";
import type { Feature } from "../../base/entry.ts";
import { useField } from "../context/field.ts";

export interface Working {
  readonly sheet: Sheet | undefined; // undefined while it is worked out, and where it cannot be
  readonly why: string; // it cannot be worked out; "" otherwise
}

export function useSheet(feature: Feature): Working {
  const field = useField();
  const { dependencies: parts } = useApp();
  const [working, set] = useState<Working>({ sheet: undefined, why: "" });
  useEffect(() => {
    let here = true;
    parts.sheets.of(field.property.id, field.features, feature.id).then(
      (sheet) => here && set({ sheet: sheet ?? nothing, why: "" }),
      (error: unknown) => here && set({ sheet: undefined, why: reasonOf(error) }),
    );
    return () => void (here = false);
  }, [feature, field.features]);
  return working;
}

const nothing: Sheet = { figures: [], checks: [], cautions: [] };

const reasonOf = (error: unknown): string => {
  const reason = (error as { reason?: unknown } | null)?.reason;
  return typeof reason === "string" ? reason : "The figures cannot be calculated now.";
};
