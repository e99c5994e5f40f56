// When the wet season is here, and how often photos are taken again.

import type { ComponentChildren } from "preact";
import { Button, Row } from "../../ui/button.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Fold } from "../../ui/panel.tsx";
import { monthWord, seasonWords, usualWet, type Months, type Seasons } from "../../survey/visit/season.ts";

interface SettingProps {
  readonly seasons: Seasons;
  readonly change: (seasons: Seasons) => void;
}

export function SeasonSetting({ seasons, change }: SettingProps) {
  return (
    <WetSetting seasons={seasons} change={change}>
      <Choice
        label="Photo points are due after"
        required
        of={[
          { value: "6", label: "6 months" },
          { value: "12", label: "a year" },
          { value: "24", label: "2 years" },
        ]}
        value={String(seasons.retakeMonths)}
        pick={(months) => months && change({ ...seasons, retakeMonths: Number(months) })}
      />
    </WetSetting>
  );
}

/** The wet season alone, where something measured is judged by it; children stand below it. */
export function WetSetting({ seasons, change, children }: SettingProps & { readonly children?: ComponentChildren }) {
  return (
    <Fold title={`Wet season: ${seasons.wet ? seasonWords(seasons.wet) : "not chosen yet"}`}>
      <WetMonths seasons={seasons} change={change} />
      {children}
    </Fold>
  );
}

function WetMonths({ seasons, change }: SettingProps) {
  const shown = seasons.wet ?? usualWet;
  const wet = (months: Partial<Months>) => change({ ...seasons, wet: { ...shown, ...months }, sure: true });
  return (
    <>
      {!seasons.wet && (
        <>
          <p>Until it is chosen, what is due is listed by {seasonWords(usualWet)}.</p>
          <Button wide press={() => wet({})}>
            It is {seasonWords(usualWet)} here
          </Button>
        </>
      )}
      <MonthSteps label="First month" month={shown.firstMonth} pick={(firstMonth) => wet({ firstMonth })} />
      <MonthSteps label="Last month" month={shown.lastMonth} pick={(lastMonth) => wet({ lastMonth })} />
    </>
  );
}

function MonthSteps({ label, month, pick }: { label: string; month: number; pick: (month: number) => void }) {
  const step = (by: number) => pick(((month - 1 + by + 12) % 12) + 1);
  return (
    <fieldset class="choice">
      <legend>
        {label}: <output>{monthWord(month)}</output>
      </legend>
      <Row>
        <Button press={() => step(-1)} label={`${label} earlier`}>
          Earlier
        </Button>
        <Button press={() => step(1)} label={`${label} later`}>
          Later
        </Button>
      </Row>
    </fieldset>
  );
}
