// Links to what belongs together with a feature.

import { nameOf } from "../../base/names.ts";
import type { LongSection } from "../../compute/sheets.ts";
import { kindOf, textOf, type Feature } from "../../base/entry.ts";
import { day } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import { KindMark } from "../../ui/icon.tsx";
import { gullyOf, pageOf, relatedTo } from "../../survey/item/related.ts";
import { useSection } from "../../item/usesheet.ts";

/** section is that of the gully in which the feature stands. */
export function RelatedLinks({ feature, section }: { feature: Feature; section: LongSection | null }) {
  const field = useField();
  const all = relatedTo(feature, field.features, section?.dams);
  if (all.length === 0) return null;
  return (
    <nav class="related" aria-label="Belongs together">
      {all.map(({ label, items }) => (
        <div key={label}>
          <h2>{label}</h2>
          <ul class="list">
            {items.map((f) => (
              <li key={f.id}>
                <a href={pageOf(f)}>
                  <KindMark kind={kindOf(f)} />
                  <span class="name">
                    {nameOf(f, field.features)}
                    {dayOfRecord(f)}
                  </span>
                </a>
              </li>
            ))}
          </ul>
        </div>
      ))}
    </nav>
  );
}

/** The same where nothing stands below that they could push: they come when they are known. */
export function LaterRelatedLinks({ feature }: { feature: Feature }) {
  const section = useSection(useField(), gullyOf(feature));
  return section === undefined ? null : <RelatedLinks feature={feature} section={section} />;
}

/** ", 3 June 2026" of what a paddock has many of, mostly without a name. */
function dayOfRecord(f: Feature): string {
  const on = textOf(f, { stocking: "stockInOn", "pasture-assessment": "observedOn" }[kindOf(f)] ?? "");
  return on && `, ${day(on)}`;
}
