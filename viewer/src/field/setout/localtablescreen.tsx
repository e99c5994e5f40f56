// The officer's own table of spacings: a row for each reach of falls, gentlest first.

import { calledProperty } from "../../storage/chosenproperty.ts";
import type { Params } from "../context/field.ts";
import { useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame, Opening } from "../../ui/frame.tsx";
import { NumberInput, TextInput } from "../../ui/input.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { useSaving } from "../part/usesaving.ts";
import { withRoom, withRow, type LocalTable } from "../../survey/setout/localtable.ts";
import { choose, settingsID, settingsOf } from "../../survey/setout/settings.ts";
import { useLocalTable } from "./uselocaltable.ts";

export function LocalTableScreen(_: { params: Params }) {
  const field = useField();
  const { table, change, rows, wrong, unkept, onlyHere, drop } = useLocalTable();
  const { failed, save } = useSaving();
  if (!table) return <Opening title="Local table" words="Opening the table…" />;
  const more = withRoom(table);
  const saveTable = async () => {
    if (!rows) return "stays";
    const set = choose({ table: "local", rows, source: table.source });
    const feature = settingsOf(field.features, field.property.id)?.id ?? settingsID(field.property.id);
    await field.capture([{ feature, set }], `Local table saved for ${calledProperty(field.property)}`, false);
    drop();
    return field.back();
  };
  const steepest = rows?.[rows.length - 1]?.upToPct;
  return (
    <Frame
      title="Local table"
      under={<p class="soft">Spacings of whoa-boys at {calledProperty(field.property)}</p>}
      actions={
        <div class="row">
          <Button disabled={more === table} press={() => change(more)}>
            Another row
          </Button>
          <Button rank="main" disabled={!rows} press={() => void save(saveTable)}>
            Save for the property
          </Button>
        </div>
      }
    >
      {failed && <Trouble {...failed} />}
      {onlyHere && <p class="caution">On this phone only until it is saved for the property.</p>}
      {unkept && <Caution>What you typed could not be saved on the phone: it is lost when this screen closes.</Caution>}
      <p>Copy the table used in your district, gentlest grade first. Each row starts where the row before it ends.</p>
      {table.rows.map((row, at) => (
        <fieldset class="spacings" key={at}>
          <legend>Row {at + 1}</legend>
          <NumberInput
            required
            label="Grade up to"
            unit="%"
            value={row.upTo}
            change={(upTo) => change(withRow(table, at, { upTo }))}
            wrong={wrong?.row === at && wrong.box === "upTo" ? wrong.words : undefined}
          />
          <NumberInput
            required
            label="Maximum spacing"
            unit="m"
            value={row.apart}
            change={(apart) => change(withRow(table, at, { apart }))}
            wrong={wrong?.row === at && wrong.box !== "upTo" ? wrong.words : undefined}
          />
        </fieldset>
      ))}
      <p class="state" role="status">
        {stateWords(
          wrong && wrong.row === undefined ? wrong.words : wrong ? `Row ${wrong.row! + 1} cannot be used yet.` : undefined,
          rows?.length,
          steepest,
        )}
      </p>
      <TextInput
        label="Who the table comes from"
        value={table.source}
        change={(source) => change({ ...table, source } satisfies LocalTable)}
        hint="an office, the sheet and its year: it is shown with every spacing"
      />
    </Frame>
  );
}

function stateWords(wrong: string | undefined, rows: number | undefined, steepestPct: number | undefined): string {
  if (wrong) return wrong;
  if (rows === undefined) return "Checking the rows…";
  return `${rows === 1 ? "The row covers" : `The ${rows} rows cover`} grades up to ${steepestPct} %; no spacing is given for steeper ground.`;
}
