// What the computations say about an item, which comes after the rest of its page: the first
// time some seconds later, while they load.

import { useState } from "preact/hooks";
import { type Feature, kindOf } from "../base/entry.ts";
import type { CrossSection, LongSection, Sheet, Sheets } from "../compute/sheets.ts";
import { useAsking } from "../ui/hooks.ts";

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
  useAsking(
    () => sheets.of(property.id, features, feature.id),
    [feature, features],
    (sheet) => set({ sheet: sheet ?? nothing, why: "" }),
    (error) => set({ sheet: undefined, why: reasonOf(error) }),
  );
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
  useAsking(
    () => (gully ? sheets.sections(property.id, features) : undefined),
    [gully, features],
    (all) => set({ of: gully!, section: all.find((s) => s.thalweg === gully) ?? null }),
    () => set({ of: gully!, section: null }), // why is told with the figures
  );
  if (!gully) return null;
  return found?.of === gully ? found.section : undefined; // not the last one's
}

/** The cross-sections of an item, one itself or those of a gully; undefined while they are worked out, none of other kinds. */
export function useAcross({ sheets, property, features }: Land, of: Feature): readonly CrossSection[] | undefined {
  const wanted = ["cross-section", "thalweg"].includes(kindOf(of));
  const [found, set] = useState<{ readonly of: string; readonly all: readonly CrossSection[] } | undefined>();
  useAsking(
    () => (wanted ? sheets.across(property.id, features) : undefined),
    [of.id, features],
    (all) => set({ of: of.id, all: all.filter((c) => c.feature === of.id || c.thalweg === of.id) }),
    () => set({ of: of.id, all: [] }), // why is told with the figures
  );
  if (!wanted) return none;
  return found?.of === of.id ? found.all : undefined;
}

const none: readonly CrossSection[] = [];
