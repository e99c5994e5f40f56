// Links to what belongs together with a feature.

import { nameOf } from "../app/names.ts";
import { kindOf, type Feature } from "../entry.ts";
import { useField } from "../field.ts";
import { KindMark } from "../kit/mark.tsx";
import { gullyOf, pageOf, relatedTo } from "./related.ts";
import { useSection } from "./usesection.ts";

export function RelatedLinks({ feature }: { feature: Feature }) {
  const field = useField();
  const all = relatedTo(feature, field.features, useSection(gullyOf(feature))?.dams);
  if (all.length === 0) return null;
  return (
    <nav class="related" aria-label="Levelled together">
      {all.map(({ label, items }) => (
        <div key={label}>
          <h2>{label}</h2>
          <ul class="list">
            {items.map((f) => (
              <li key={f.id}><a href={pageOf(f)}><KindMark kind={kindOf(f)} /><span class="name">{nameOf(f, field.features)}</span></a></li>
            ))}
          </ul>
        </div>
      ))}
    </nav>
  );
}
