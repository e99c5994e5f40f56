// Planning whoa-boys along a track or fence, by the property's spacing table.

import { ToWatch } from "../part/leftout.tsx";
import { useState } from "preact/hooks";
import { placeOf, type Feature } from "../../base/entry.ts";
import { fieldNamed } from "../../base/kinds.ts";
import { ownNameOf } from "../../base/names.ts";
import { askBanks, type ChosenForBanks } from "../../survey/plan/ask.ts";
import { bankLines, type Spaced } from "../../survey/plan/banks.ts";
import { piecesOf } from "../../survey/setout/lineends.ts";
import { calledTable, chosenTable, settingsOf } from "../../survey/setout/settings.ts";
import { Choice } from "../../ui/choice.tsx";
import { Frame } from "../../ui/frame.tsx";
import { Fold } from "../../ui/panel.tsx";
import { useField } from "../context/field.ts";
import { dangers, Mind } from "../part/cautions.tsx";
import { LineZero } from "../part/linezero.tsx";
import { AdoptButton, Adopting } from "./adopt.tsx";
import { Made, Refusals, RunChoice } from "./made.tsx";
import { usePlan } from "./useplan.ts";

const words = { one: "whoa-boy", many: "whoa-boys" };

export function BankPlan({ track }: { track: Feature }) {
  const field = useField();
  const [chosen, choose] = useState<ChosenForBanks>({ side: "", zeroAt: "", run: "" });
  const plan = usePlan(askBanks(track.id, chosen), true);
  const { outcome, refused } = plan;
  const spaced = outcome?.answer as Spaced | undefined;
  const set = (change: Partial<ChosenForBanks>) => choose((was) => ({ ...was, ...change }));
  const table = chosenTable(settingsOf(field.features, field.property.id));
  const pieces = piecesOf(placeOf(track));
  return (
    <Frame
      title="Plan whoa-boys"
      under={<p class="soft">{`Along ${ownNameOf(track)}`}</p>}
      actions={spaced && <AdoptButton plan={plan} {...words} />}
    >
      {!outcome && !refused && <p>Planning…</p>}
      <Refusals outcome={outcome} refused={refused} />
      <Mind of={dangers.track} />
      {table && (
        <p>
          <span class="soft">Spacing by</span> {calledTable(table)}
        </p>
      )}
      <a class="button wide" href="#/peg/spacing">
        {table ? "Another spacing table" : "Choose the spacing table"}
      </a>
      <Choice
        label="Let the water out"
        required
        value={chosen.side}
        of={[
          { value: "left", label: "left" },
          { value: "right", label: "right" },
          { value: "", label: "either side" },
        ]}
        hint="looking down the track"
        pick={(side) => set({ side: side ?? "" })}
      />
      <Adopting plan={plan} {...words} />
      {spaced && <Banks spaced={spaced} />}
      {outcome && <RunChoice outcome={outcome} pick={(run) => set({ run })} />}
      {pieces && (
        <Fold title="Which end is chainage 0">
          <LineZero
            pieces={pieces}
            label={fieldNamed("thalweg", "chainageZero").label}
            value={chosen.zeroAt}
            here={null}
            pick={(zeroAt) => set({ zeroAt: zeroAt ?? "" })}
          />
        </Fold>
      )}
      {spaced && <ToWatch of={spaced.cautions} />}
      {outcome && <Made outcome={outcome} adoption={plan.adoption} />}
      <a class="button wide" href={`#/thing/${track.id}`}>
        {`Back to ${ownNameOf(track)}`}
      </a>
    </Frame>
  );
}

function Banks({ spaced }: { spaced: Spaced }) {
  if (spaced.banks.length === 0) return <p>By this table no whoa-boy is needed along it.</p>;
  return (
    <table class="planlist" aria-label="Planned whoa-boys">
      <thead>
        <tr>
          <th scope="col">No.</th>
          <th scope="col">Chainage from the upper end, m</th>
          <th scope="col">Apart, m</th>
          <th scope="col">Outlet</th>
        </tr>
      </thead>
      <tbody>
        {bankLines(spaced).map((b) => (
          <tr key={b.number}>
            <td>{b.number}</td>
            <td>{b.chainage}</td>
            <td>{b.spacing}</td>
            <td>{b.note ? `${b.outlet}: ${b.note}` : b.outlet}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
