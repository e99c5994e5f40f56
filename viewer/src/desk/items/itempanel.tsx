// What is known of one item: its fields, its figures and checks, its visits and photos, and the
// long section or the level book where it has one.

import { useEffect, useRef } from "preact/hooks";
import { clockOrDay } from "../../base/words.ts";
import { type Feature, kindOf, stampedAt, textOf } from "../../base/entry.ts";
import { kindNamed } from "../../base/kinds.ts";
import { kindLabelOf, nameOf } from "../../base/names.ts";
import { lacksPlace } from "../../base/nearest.ts";
import { Condition } from "../../item/condition.tsx";
import { Facts } from "../../item/facts.tsx";
import { AcrossSections } from "../../item/acrosssection.tsx";
import { GullySection } from "../../item/gullysection.tsx";
import { LevelBook } from "../../item/levelbook.tsx";
import { useCoverRanges } from "../../item/ranges.ts";
import { type Land, useAcross, useSection, useSheet } from "../../item/usesheet.ts";
import { Photos, Visits } from "../../item/visits.tsx";
import { Cautions, Glance, Worked } from "../../item/worked.tsx";
import { ItemSymbol } from "../../map/symbol.tsx";
import { missing } from "../../survey/item/facts.ts";
import { gullyOf, relatedTo } from "../../survey/item/related.ts";
import { labelOf } from "../../survey/item/sides.ts";
import { newestOf } from "../../survey/visit/newest.ts";
import { judged, visitsTo } from "../../survey/visit/visits.ts";
import { Button } from "../../ui/button.tsx";
import { Caution } from "../../ui/panel.tsx";
import { useDesk } from "../context/desk.ts";
import { statusText } from "./rows.ts";

interface PanelProps {
  readonly feature: Feature;
  readonly person: string; // who wrote its newest entry
  readonly focus: boolean; // it was chosen by a key: the focus goes to its heading
  readonly open: (id: string) => void;
  readonly close: () => void;
}

export function ItemPanel({ feature, person, focus, open, close }: PanelProps) {
  const { state, store, model, sheets } = useDesk();
  const { features } = state;
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (focus) heading.current?.focus();
  }, [focus]);
  const kind = kindNamed(kindOf(feature));
  const name = nameOf(feature, features);
  const visits = visitsTo(feature.id, features);
  const newest = newestOf(feature, visits);
  const lacks = missing(kind, feature, newest);
  const land: Land = { sheets, property: state.property!, features };
  const working = useSheet(land, feature);
  const ranges = useCoverRanges(model, [feature, ...features.filter((f) => visits.some((l) => l.id === f.id))]);
  const gully = gullyOf(feature);
  const section = useSection(land, gully);
  const across = useAcross(land, feature);
  const bed = features.find((f) => f.id === gully);
  const pictured = { of: feature, features, store, photo: (sha: string) => `#/property/${land.property.id}/${feature.id}/${sha}` };
  return (
    <section class="panel" aria-label={name}>
      <header class="panelhead">
        <ItemSymbol kind={kind} status={textOf(feature, "status")} />
        <div>
          <h2 ref={heading} tabIndex={-1}>
            {name}
          </h2>
          <p class="soft">
            {[textOf(feature, "name").trim() ? kindLabelOf(feature) : "unnamed", statusText(feature).toLowerCase()]
              .filter(Boolean)
              .join(", ")}
          </p>
        </div>
        <Button press={close} label="Close">
          <svg class="sign" viewBox="0 0 24 24" aria-hidden="true">
            <path d="M6 6l12 12M18 6L6 18" />
          </svg>
        </Button>
      </header>
      {feature.struck && <Caution>This is struck out. It is kept, as in a level book, but not shown on maps.</Caution>}
      <Condition newest={newest} />
      <Glance working={working} condition={newest?.condition} clashes={feature.clashes.length} />
      {lacks.length > 0 && <Caution>Still to fill in: {lacks.map((f) => f.label.toLowerCase()).join(", ")}.</Caution>}
      {lacksPlace(feature) && <Caution>No position recorded.</Caution>}
      {feature.clashes.length > 0 && (
        <Caution>
          Two people recorded different values: {feature.clashes.map((n) => labelOf(feature, n).toLowerCase()).join(", ")}. Settle it on a
          phone.
        </Caution>
      )}
      {bed && section && (
        <GullySection gully={bed} features={features} section={section} cautions={working.sheet?.cautions ?? []} selected={feature.id} />
      )}
      {across && across.length > 0 && <AcrossSections of={across} cautions={working.sheet?.cautions ?? []} />}
      <Worked of={feature} working={working} clashes={feature.clashes.length} />
      <Facts feature={feature} features={features} newest={newest} ranges={ranges} sheet={working.sheet} />
      <Cautions working={working} />
      {kind.name === "level-run" && <LevelBook run={feature} model={model} />}
      <Visits {...pictured} visits={visits.filter(judged)} ranges={ranges} />
      <Photos {...pictured} visits={visits.filter(judged)} />
      <Related feature={feature} features={features} section={section ?? undefined} open={open} />
      <p class="soft lastchange">
        Last change{stampedAt(feature) ? "" : ":"} {clockOrDay(stampedAt(feature), new Date())}
        {person && ` by ${person}`}
      </p>
    </section>
  );
}

interface RelatedProps {
  readonly feature: Feature;
  readonly features: readonly Feature[];
  readonly section: { readonly dams: readonly { readonly id: string; readonly chainageM: number }[] } | undefined;
  readonly open: (id: string) => void;
}

/** What belongs together with the item; a press opens it. */
function Related({ feature, features, section, open }: RelatedProps) {
  const all = relatedTo(feature, features, section?.dams);
  return (
    <>
      {all.map(({ label, items }) => (
        <section key={label} class="related" aria-label={label}>
          <h2>{label}</h2>
          <div class="row">
            {items.map((f) => (
              <Button key={f.id} press={() => open(f.id)}>
                {nameOf(f, features)}
              </Button>
            ))}
          </div>
        </section>
      ))}
    </>
  );
}
