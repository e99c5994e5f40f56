// When the wet season is here, and how often photos are taken again.

import { Button, Row } from "../kit/button.tsx";
import { Choice } from "../kit/choice.tsx";
import { Fold } from "../kit/part.tsx";
import { monthWord, seasonWords, type Months, type Seasons } from "./season.ts";

export function SeasonSetting({ seasons, change }: { seasons: Seasons; change: (seasons: Seasons) => void }) {
  const wet = (months: Partial<Months>) => change({ ...seasons, wet: { ...seasons.wet, ...months } });
  return (
    <Fold title={`Wet season: ${seasonWords(seasons.wet)}`}>
      <MonthSteps label="First month" month={seasons.wet.firstMonth} pick={(firstMonth) => wet({ firstMonth })} />
      <MonthSteps label="Last month" month={seasons.wet.lastMonth} pick={(lastMonth) => wet({ lastMonth })} />
      <Choice
        label="Photo points are due after"
        required
        of={[{ value: "6", label: "6 months" }, { value: "12", label: "a year" }, { value: "24", label: "2 years" }]}
        value={String(seasons.retakeMonths)}
        pick={(months) => months && change({ ...seasons, retakeMonths: Number(months) })}
      />
    </Fold>
  );
}

function MonthSteps({ label, month, pick }: { label: string; month: number; pick: (month: number) => void }) {
  const step = (by: number) => pick(((month - 1 + by + 12) % 12) + 1);
  return (
    <fieldset class="choice">
      <legend>{label}: <output>{monthWord(month)}</output></legend>
      <Row>
        <Button press={() => step(-1)} label={`${label} earlier`}>Earlier</Button>
        <Button press={() => step(1)} label={`${label} later`}>Later</Button>
      </Row>
    </fieldset>
  );
}
