// One thing: what is known of it, what is worked out about it, and the way there.

import { kindNamed } from "../../base/kinds.ts";
import type { LongSection } from "../../compute/sheets.ts";
import { kindLabelOf, nameOf } from "../../base/names.ts";
import { kindOf, placeOf, textOf, type Feature } from "../../base/entry.ts";
import { dayOf } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { ItemMark } from "../../ui/icon.tsx";
import { Caution } from "../../ui/panel.tsx";
import { useRead } from "../../ui/hooks.ts";
import { troubleOf } from "../../storage/errors.ts";
import { Arrow } from "./arrow.tsx";
import { missing } from "../../survey/item/facts.ts";
import { labelOf } from "../../survey/item/sides.ts";
import { Condition } from "../../item/condition.tsx";
import { Facts } from "../../item/facts.tsx";
import { Photos, Visits } from "../../item/visits.tsx";
import type { CoverRanges } from "../../survey/visit/cover.ts";
import { judged, visitsTo, type PastVisit } from "../../survey/visit/visits.ts";
import { newestOf } from "../../survey/visit/newest.ts";
import { useCoverRanges } from "../../item/ranges.ts";
import { ofItem } from "../part/ofitem.tsx";
import { gullyOf } from "../../survey/item/related.ts";
import { RelatedLinks } from "../part/relatedlinks.tsx";
import { useAcross, useSection, useSheet, type Working } from "../../item/usesheet.ts";
import { Unsent } from "./unsent.tsx";
import { Cautions, Glance, Worked } from "../../item/worked.tsx";

export const Thing = ofItem(Known);

function Known({ feature }: { feature: Feature }) {
  const field = useField();
  const kind = kindNamed(kindOf(feature));
  const name = nameOf(feature, field.features);
  const visits = visitsTo(feature.id, field.features);
  const newest = newestOf(feature, visits);
  const lacks = missing(kind, feature, newest);
  const working = useSheet(field, feature);
  const ranges = useCoverRanges(field.model, [feature, ...field.features.filter((f) => visits.some((l) => l.id === f.id))]);
  const section = useSection(field, gullyOf(feature));
  const across = useAcross(field, feature);
  const acrossDrawing = useRead(
    () => (across && across.length > 0 ? import("../../item/acrosssection.tsx") : Promise.resolve(null)),
    null,
    across && across.length > 0 ? kind.name : "",
  );
  const drawing = useRead(() => (kind.name === "thalweg" ? import("../../item/gullysection.tsx") : Promise.resolve(null)), null, kind.name);
  const come =
    (working.sheet !== undefined || working.why !== "") &&
    ranges !== undefined &&
    section !== undefined &&
    drawing !== undefined &&
    across !== undefined &&
    acrossDrawing !== undefined;
  return (
    <Frame
      title={name}
      under={
        <p class="soft kindline">
          <ItemMark of={feature} />
          <span>
            {name === kind.label && !textOf(feature, "name") ? "unnamed" : kindLabelOf(feature)}
            <Unsent feature={feature} />
          </span>
        </p>
      }
      actions={
        <Row>
          {ways(feature).map((way) => (
            <a key={way.href} class="button" href={way.href}>
              {way.label}
            </a>
          ))}
          <a class="button main" href={`#/thing/${feature.id}/edit`}>
            Edit
          </a>
        </Row>
      }
      late={
        <>
          <Worked of={feature} working={working} clashes={feature.clashes.length} />
          {come && drawing && (
            <drawing.GullySection gully={feature} features={field.features} section={section} cautions={working.sheet?.cautions ?? []} />
          )}
          {come && acrossDrawing && <acrossDrawing.AcrossSections of={across} cautions={working.sheet?.cautions ?? []} />}
          <Facts feature={feature} features={field.features} newest={newest} ranges={ranges} sheet={working.sheet} />
          {come && <Below feature={feature} working={working} visits={visits} ranges={ranges} section={section} />}
        </>
      }
    >
      {feature.struck && <Caution>This is struck out. It is kept, as in a level book, but not shown on maps.</Caution>}
      <Arrow feature={feature} />
      <Condition newest={newest} />
      <Glance working={working} condition={newest?.condition} clashes={feature.clashes.length} />
      {lacks.length > 0 && <Caution>Still to fill in: {lacks.map((f) => f.label.toLowerCase()).join(", ")}.</Caution>}
      {feature.clashes.length > 0 && (
        <Caution>
          Two people recorded different values: {feature.clashes.map((n) => labelOf(feature, n).toLowerCase()).join(", ")}.
          <a class="button wide" href={`#/thing/${feature.id}/settle`}>
            Compare and settle
          </a>
        </Caution>
      )}
    </Frame>
  );
}

/** What can be pressed stands below the figures, and comes with them: what comes later would push it from under a finger. */
function Below({
  feature,
  working,
  visits,
  ranges,
  section,
}: {
  feature: Feature;
  working: Working;
  visits: readonly PastVisit[];
  ranges: CoverRanges;
  section: LongSection | null;
}) {
  const field = useField();
  const strike = () => {
    field
      .capture(
        [{ feature: feature.id, strike: !feature.struck }],
        `${nameOf(feature, field.features)} ${feature.struck ? "restored" : "struck out"}`,
      )
      .catch((error: unknown) => {
        const { what, todo } = troubleOf(error);
        field.say(`${what} ${todo}`);
      });
  };
  const pictured = {
    of: feature,
    features: field.features,
    store: field.store,
    photo: (sha: string) => `#/photo/${kindOf(feature) === "visit" ? textOf(feature, "of") : feature.id}/${sha}`,
  };
  return (
    <>
      <Cautions working={working} />
      {!feature.struck && plans[kindOf(feature)] && (
        <a class="button wide" href={`#/plan/${feature.id}`}>
          {plans[kindOf(feature)]}
        </a>
      )}
      <RelatedLinks feature={feature} section={section} />
      {kindOf(feature) === "paddock" && !feature.struck && <InPaddock paddock={feature} />}
      <Visits {...pictured} visits={visits.filter(judged)} ranges={ranges} visit={(id) => `#/thing/${id}`} />
      <Photos {...pictured} visits={visits.filter(judged)} />
      {placeOf(feature) && !feature.struck && (
        <div class="stack">
          <Row>
            <a class="button" href={`#/map/${feature.id}`}>
              Show on the map
            </a>
            <a class="button" href={`#/shape/${feature.id}`}>
              {placeOf(feature)?.type === "Point" ? "Move on the map" : "Reshape"}
            </a>
          </Row>
        </div>
      )}
      <Button wide press={strike}>
        {feature.struck ? "Restore" : "Strike out"}
      </Button>
    </>
  );
}

/** What can be planned from what is recorded of a thing, by its kind. */
const plans: { readonly [kind: string]: string } = {
  thalweg: "Plan dams",
  track: "Plan whoa-boys",
  fence: "Plan whoa-boys",
  "gully-head": "Peak flow",
  "check-dam": "Notch and rock",
};

/** What is recorded of the feed and the stock of a paddock. */
function InPaddock({ paddock }: { paddock: Feature }) {
  const field = useField();
  const stock = () =>
    field.capture([{ set: { kind: "stocking", paddock: paddock.id, observedOn: dayOf(new Date()) } }], "Stocking record saved").then(
      ([saved]) => field.go(`#/thing/${saved!.feature}/fill`),
      (error: unknown) => field.say(troubleOf(error).what),
    );
  return (
    <Row>
      <Button press={() => void stock()}>Stock in, out or rested</Button>
      <a class="button" href="#/mark/pasture-assessment">
        Assess the pasture
      </a>
    </Row>
  );
}

/** What else can be done with a thing. */
function ways(feature: Feature): readonly { href: string; label: string }[] {
  return [
    ...(kindOf(feature) !== "visit" ? [{ href: `#/visit/${feature.id}`, label: "Visit" }] : []),
    { href: `#/photo/${feature.id}`, label: "Photo" },
  ];
}
