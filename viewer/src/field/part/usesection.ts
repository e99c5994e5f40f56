// The long section of a gully, as the office works it out from all its level runs.

import { useEffect, useState } from "preact/hooks";
import type { LongSection } from "../../compute/sheets.ts";
import { useApp } from "../context/app.ts";
import { useField } from "../context/field.ts";

/** The section; undefined while it is worked out, null without a gully and where there is nothing to draw. */
export function useSection(gully: string | undefined): LongSection | null | undefined {
  const field = useField();
  const { dependencies: parts } = useApp();
  const [found, set] = useState<{ readonly of: string; readonly section: LongSection | null }>();
  useEffect(() => {
    if (!gully) return;
    let here = true;
    const tell = (section: LongSection | null) => here && set({ of: gully, section });
    parts.sheets.sections(field.property.id, field.features).then(
      (all) => tell(all.find((s) => s.thalweg === gully) ?? null),
      () => tell(null), // why is told with the figures
    );
    return () => void (here = false);
  }, [gully, field.features]);
  if (!gully) return null;
  return found?.of === gully ? found.section : undefined; // not the last one's
}
