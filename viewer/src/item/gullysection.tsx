// The long section of a gully on its page, from all its level runs, as the office draws it.

import type { Section } from "../section/section.ts";
import type { LongSection, Sheet } from "../compute/sheets.ts";
import { nameOf } from "../base/names.ts";
import type { Feature } from "../base/entry.ts";
import { heightOf, isHeightPlanned } from "../survey/levelbook/section.ts";
import { BedLevels } from "../section/bedlevels.tsx";
import { Drawing } from "./fitted.tsx";
import { Fold } from "../ui/panel.tsx";

interface GullySectionProps {
  readonly gully: Feature;
  readonly features: readonly Feature[];
  readonly section: LongSection | null;
  readonly cautions: Sheet["cautions"];
  readonly selected?: string | null; // id of a dam in it
}

/** Its notes, but those that stand among the page's cautions. */
export function GullySection({ gully, features, section: found, cautions, selected = null }: GullySectionProps) {
  if (!found || found.bed.length === 0) return null;
  const name = nameOf(gully, features);
  return (
    <section class="section" aria-label={`Long section of ${name}`}>
      <h2>Long section</h2>
      <Drawing section={drawn(found, features)} name={name} selected={selected} />
      {found.notes
        .filter((note) => !cautions.some((c) => c.text === note))
        .map((note) => (
          <p key={note} class="soft">
            {note}
          </p>
        ))}
      <Fold title={`Levels of the bed: ${found.bed.length}`}>
        <BedLevels bed={found.bed} />
      </Fold>
    </section>
  );
}

function drawn(s: LongSection, features: readonly Feature[]): Section {
  const height = (id: string) => {
    const dam = features.find((f) => f.id === id);
    return dam && { heightM: heightOf(dam), heightPlanned: isHeightPlanned(dam) };
  };
  return {
    thalweg: s.thalweg,
    ...(s.name === undefined ? {} : { name: s.name }),
    lengthM: s.lengthM,
    proven: s.proven,
    notes: [...s.notes],
    bed: s.bed.map((b) => ({ ...b })),
    dams: s.dams.map((d) => ({ ...d, ...height(d.id) })),
    pairs: s.pairs.map((p) => ({ ...p })),
  };
}
