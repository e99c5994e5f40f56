// The peak flow to a gully head, from the rain and what of it runs off: nothing of it is recorded.

import { ToWatch } from "../part/leftout.tsx";
import { useState } from "preact/hooks";
import type { Feature } from "../../base/entry.ts";
import { ownNameOf } from "../../base/names.ts";
import { number, numberIn, unbroken, withPlusMinus } from "../../base/number.ts";
import type { Types } from "../../compute/types/index.ts";
import { askFlow } from "../../survey/plan/ask.ts";
import { settingsOf } from "../../survey/setout/settings.ts";
import { Frame } from "../../ui/frame.tsx";
import { NumberInput } from "../../ui/input.tsx";
import { dangers, Mind } from "../part/cautions.tsx";
import { Made, Refusals } from "./made.tsx";
import { useField } from "../context/field.ts";
import { usePlan } from "./useplan.ts";

type Flow = Types["peak-flow"]["output"];

export function PeakFlow({ head }: { head: Feature }) {
  const [rain, setRain] = useState("");
  const [share, setShare] = useState("");
  const [time, setTime] = useState("");
  const { features, property } = useField();
  const [intensityMmH, coefficient, minutes] = [rain, share, time].map(numberIn);
  const table = settingsOf(features, property.id)?.fields.rainRows !== undefined;
  const wrong = (m: number | undefined) => (m !== undefined && Number.isNaN(m) ? "Give a number." : undefined);
  const known = (m: number | undefined) => (m === undefined || Number.isNaN(m) ? undefined : m);
  const plan = usePlan(
    askFlow(head.id, {
      intensityMmH: known(intensityMmH),
      timeOfConcentrationMin: rain ? undefined : known(minutes),
      coefficient: known(coefficient),
    }),
    false,
  );
  const { outcome, refused } = plan;
  const flow = outcome?.answer as Flow | undefined;
  const asked = (known(intensityMmH) ?? known(minutes)) !== undefined && known(coefficient) !== undefined;
  return (
    <Frame title="Peak flow" under={<p class="soft">{`To ${ownNameOf(head)}`}</p>}>
      <NumberInput
        label="Rain of the design storm"
        required={!table}
        unit="mm/h"
        value={rain}
        change={setRain}
        wrong={wrong(intensityMmH)}
        hint="over the time of concentration, from the rainfall table of the place"
      />
      {table && rain === "" && (
        <NumberInput
          label="Time of concentration"
          required
          unit="min"
          value={time}
          change={setTime}
          wrong={wrong(minutes)}
          hint="in which water comes from the far end of the catchment: the property’s rainfall table is read there"
        />
      )}
      <NumberInput
        label="Runoff coefficient"
        required
        value={share}
        change={setShare}
        wrong={wrong(coefficient)}
        hint="share of the rain's rate that runs off, from 0 to 1"
      />
      {asked && <Refusals outcome={outcome} refused={refused} />}
      {flow && (
        <p class="big" role="status">
          <b>{unbroken(`${flow.flowPlusMinusM3S ? withPlusMinus(flow.flowM3S, flow.flowPlusMinusM3S) : number(flow.flowM3S, 2)} m³/s`)}</b>{" "}
          {unbroken(`from ${number(flow.areaHa, 1)} ha.${flow.flowPlusMinusM3S ? "" : " How far it may be out is not known."}`)}
        </p>
      )}
      <Mind of={dangers.gully} />
      {flow && <ToWatch of={flow.cautions} />}
      {outcome && <Made outcome={outcome} adoption={undefined} />}
    </Frame>
  );
}
