// What the computations say about an item, which comes after the rest of its page: the first
// time some seconds later, while they load.

import { useEffect, useState } from "preact/hooks";
import type { Feature } from "../base/entry.ts";
import type { LongSection, Sheet, Sheets } from "../compute/sheets.ts";

/** What is calculated with: the items of a property. */
export interface Land {
  readonly sheets: Sheets;
  readonly property: { readonly id: string };
  readonly features: readonly Feature[];
}

export interface Working {
  readonly sheet: Sheet | undefined; // undefined while it is worked out, and where it cannot be
  readonly why: string; // it cannot be worked out; "" otherwise
}

export function useSheet({ sheets, property, features }: Land, feature: Feature): Working {
  const [working, set] = useState<Working>({ sheet: undefined, why: "" });
  useEffect(() => {
    let here = true;
    sheets.of(property.id, features, feature.id).then(
      (sheet) => here && set({ sheet: sheet ?? nothing, why: "" }),
      (error: unknown) => here && set({ sheet: undefined, why: reasonOf(error) }),
    );
    return () => void (here = false);
  }, [feature, features]);
  return working;
}

const nothing: Sheet = { figures: [], checks: [], cautions: [] };

const reasonOf = (error: unknown): string => {
  const reason = (error as { reason?: unknown } | null)?.reason;
  return typeof reason === "string" ? reason : "The figures cannot be calculated now.";
};

/** The long section of a gully; undefined while it is worked out, null without a gully and where there is nothing to draw. */
export function useSection({ sheets, property, features }: Land, gully: string | undefined): LongSection | null | undefined {
  const [found, set] = useState<{ readonly of: string; readonly section: LongSection | null } | undefined>();
  useEffect(() => {
    if (!gully) return;
    let here = true;
    sheets.sections(property.id, features).then(
      (all) => here && set({ of: gully, section: all.find((s) => s.thalweg === gully) ?? null }),
      () => here && set({ of: gully, section: null }), // why is told with the figures
    );
    return () => void (here = false);
  }, [gully, features]);
  if (!gully) return null;
  return found?.of === gully ? found.section : undefined; // not the last one's
}
