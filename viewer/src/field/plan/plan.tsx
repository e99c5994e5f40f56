// What can be planned of an item, by its kind: dams along a gully, whoa-boys along a track, the
// peak flow to a gully head, the notch and the rock of a dam.

import { kindOf, type Feature } from "../../base/entry.ts";
import { kindNamed } from "../../base/kinds.ts";
import { Frame } from "../../ui/frame.tsx";
import { ofItem } from "../part/ofitem.tsx";
import { BankPlan } from "./bankplan.tsx";
import { DamPlan } from "./damplan.tsx";
import { NotchPlan } from "./notch.tsx";
import { PeakFlow } from "./peakflow.tsx";

export const PlanScreen = ofItem(Planned, { named: "feature", title: "Plan" });

function Planned({ feature }: { feature: Feature }) {
  switch (kindOf(feature)) {
    case "thalweg":
      return <DamPlan gully={feature} />;
    case "track":
    case "fence":
      return <BankPlan track={feature} />;
    case "gully-head":
      return <PeakFlow head={feature} />;
    case "check-dam":
      return <NotchPlan dam={feature} />;
  }
  return (
    <Frame title="Plan">
      <p>{`Nothing is planned of a ${kindNamed(kindOf(feature)).label.toLowerCase()} here: dams go along a thalweg, whoa-boys along a track or fence.`}</p>
    </Frame>
  );
}
