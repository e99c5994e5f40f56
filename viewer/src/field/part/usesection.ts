// The long section of a gully, as the office works it out from all its level runs.

import { useEffect, useState } from "preact/hooks";
import type { LongSection } from "../../compute/sheets.ts";
import { useApp } from "../context/app.ts";
import { useField } from "../context/field.ts";

/** The section; undefined while it is worked out, null without a gully and where there is nothing to draw. */
export function useSection(gully: string | undefined): LongSection | null | undefined {
  const field = useField();
  const { dependencies: parts } = useApp();
  const [found, set] = useState<LongSection | null | undefined>(gully ? undefined : null);
  useEffect(() => {
    if (!gully) return set(null);
    let here = true;
    parts.sheets.sections(field.property.id, field.features).then(
      (all) => here && set(all.find((s) => s.thalweg === gully) ?? null),
      () => here && set(null), // why is told with the figures
    );
    return () => void (here = false);
  }, [gully, field.features]);
  return found?.thalweg === gully ? found : undefined; // not the last one's
}
