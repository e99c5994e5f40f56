// Planning check dams along a gully: heights side by side, drawn over the bed, and adopted as proposed dams.

import { ToWatch } from "../part/leftout.tsx";
import { useState } from "preact/hooks";
import { ownNameOf } from "../../base/names.ts";
import { number, unbroken } from "../../base/number.ts";
import type { Feature } from "../../base/entry.ts";
import { Drawing } from "../../item/fitted.tsx";
import { useSection } from "../../item/usesheet.ts";
import { heightOf, isHeightPlanned } from "../../survey/levelbook/section.ts";
import { askDams, askHeights, type ChosenForDams, usualHeight } from "../../survey/plan/ask.ts";
import { damLines, heightChoices, plannedSection, type Layout } from "../../survey/plan/dams.ts";
import { settingsOf } from "../../survey/setout/settings.ts";
import { Choice } from "../../ui/choice.tsx";
import { Frame } from "../../ui/frame.tsx";
import { useField } from "../context/field.ts";
import { dangers, Mind } from "../part/cautions.tsx";
import { AdoptButton, Adopting } from "./adopt.tsx";
import { Made, Refusals, RunChoice } from "./made.tsx";
import { usePlan } from "./useplan.ts";

const words = { one: "dam", many: "dams" };

export function DamPlan({ gully }: { gully: Feature }) {
  const [chosen, choose] = useState<ChosenForDams>({ height: "", slope: "", run: "" });
  const field = useField();
  const height = chosen.height || usualHeight(settingsOf(field.features, field.property.id));
  const plan = usePlan(askDams(gully.id, { ...chosen, height }), true); // the height shown, so that the office's plan of it is the same
  const compared = usePlan(askHeights(gully.id, chosen), false).outcome?.beside;
  const { outcome, refused } = plan;
  const layout = outcome?.answer as Layout | undefined;
  const set = (change: Partial<ChosenForDams>) => choose((was) => ({ ...was, ...change }));
  return (
    <Frame
      title="Plan dams"
      under={<p class="soft">{`Along ${ownNameOf(gully)}`}</p>}
      actions={layout && <AdoptButton plan={plan} {...words} />}
    >
      {!outcome && !refused && <p>Planning…</p>}
      <Refusals outcome={outcome} refused={refused} />
      <Mind of={dangers.gully} />
      {layout && (
        <div class="heights">
          <Choice
            label="Crest height"
            required
            value={String(layout.crestHeightM)}
            of={heightChoices(compared, layout)}
            pick={(height) => set({ height: height ?? "" })}
          />
        </div>
      )}
      {layout && <Drawn layout={layout} gully={gully} />}
      <Adopting plan={plan} {...words} />
      {layout && <Dams layout={layout} />}
      {layout && (
        <Choice
          label="Silt behind the dams settles"
          required
          value={String(layout.depositSlopePct)}
          of={slopes(layout.depositSlopePct).map((pct) => ({ value: pct, label: pct === "0" ? "level" : `rising ${pct} %` }))}
          pick={(slope) => set({ slope: slope ?? "" })}
        />
      )}
      {outcome && <RunChoice outcome={outcome} pick={(run) => set({ run })} />}
      {layout && <ToWatch of={layout.cautions} />}
      {outcome && <Made outcome={outcome} adoption={plan.adoption} />}
      <a class="button wide" href={`#/thing/${gully.id}`}>
        {`Back to ${ownNameOf(gully)}`}
      </a>
    </Frame>
  );
}

const slopes = (pct: number): readonly string[] => [...new Set([0, 0.5, 1, pct])].sort((a, b) => a - b).map(String);

function Drawn({ layout, gully }: { layout: Layout; gully: Feature }) {
  const field = useField();
  const section = useSection(field, gully.id) ?? null;
  const standing = (section?.dams ?? []).map((d) => {
    const dam = field.features.find((f) => f.id === d.id);
    return { ...d, ...(dam && { heightM: heightOf(dam), heightPlanned: isHeightPlanned(dam) }) };
  });
  return (
    <section class="section" aria-label={`Long section of ${ownNameOf(gully)}, with the planned dams`}>
      <Drawing section={plannedSection(layout, section, gully.id, standing)} name={`${ownNameOf(gully)}, with the planned dams`} />
    </section>
  );
}

function Dams({ layout }: { layout: Layout }) {
  return (
    <>
      <p>{unbroken(`Silt will cover ${number(layout.guardedM, 0)} m of the bed.`)}</p>
      {layout.dams.length > 0 && (
        <table class="planlist" aria-label="Planned dams">
          <thead>
            <tr>
              <th scope="col">No.</th>
              <th scope="col">{layout.turnedAtM === undefined ? "Chainage, m" : "Chainage from the head, m"}</th>
              <th scope="col">Toe, m</th>
              <th scope="col">Crest, m</th>
            </tr>
          </thead>
          <tbody>
            {damLines(layout).map((d) => (
              <tr key={d.number}>
                <td>{d.note ? `${d.number}, ${d.note}` : d.number}</td>
                <td>{d.chainage}</td>
                <td>{d.toe}</td>
                <td>{d.crest}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}
