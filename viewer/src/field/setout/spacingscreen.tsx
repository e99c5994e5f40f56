// Whose spacings whoa-boys are pegged by on this property: chosen once, for every phone and
// the office. Nothing is chosen beforehand, since the published tables differ threefold.

import { useState } from "preact/hooks";
import { calledProperty } from "../../storage/chosenproperty.ts";
import type { Params } from "../context/field.ts";
import { useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Frame } from "../../ui/frame.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { useSaving } from "../part/usesaving.ts";
import { tables } from "../../survey/setout/banks.ts";
import { choose, chosenTable, localRowsOf, settingsID, settingsOf, spacingBy } from "../../survey/setout/settings.ts";
import { useLocalTable } from "./uselocaltable.ts";
import { textOf } from "../../base/entry.ts";

export function SpacingScreen(_: { params: Params }) {
  const field = useField();
  const settings = settingsOf(field.features, field.property.id);
  const chosen = chosenTable(settings);
  const own = useLocalTable();
  const [picked, pick] = useState<string | undefined>();
  const [column, setColumn] = useState<string | undefined>();
  const { failed, save } = useSaving();
  const table = tables.find((t) => t.name === (picked ?? chosen?.table.name));
  const soil = column ?? (chosen?.table === table ? chosen?.spacing.soil : undefined);
  const rows = localRowsOf(settings);
  const spacing = table && spacingBy(table, soil, settings);
  const saveSpacing = async () => {
    if (!spacing) return "stays";
    const feature = settings?.id ?? settingsID(field.property.id);
    await field.capture([{ feature, set: choose(spacing) }], `Spacing table saved for ${calledProperty(field.property)}`, false);
    return field.back();
  };
  return (
    <Frame
      title="Spacing table"
      under={<p class="soft">Whoa-boys at {calledProperty(field.property)}</p>}
      actions={
        <Button rank="main" wide disabled={!spacing} press={() => void save(saveSpacing)}>
          Save for the property
        </Button>
      }
    >
      {failed && <Trouble {...failed} />}
      {chosen?.clash && <Caution>Two phones chose different tables before they saw each other. Save one to settle it.</Caution>}
      <p>Choose once, for every phone and the office. The tables differ threefold, so use the one for your district.</p>
      {own.onlyHere && (
        <p class="caution">
          A local table was entered on this phone and is not saved for the property yet.{" "}
          <a class="button wide" href="#/peg/local-table">
            Check it and save it
          </a>
        </p>
      )}
      <ul class="tables" aria-label="Spacing tables">
        {tables.map((t) => (
          <li key={t.name}>
            <Button
              wide
              pressed={t === table}
              press={() => {
                pick(t.name);
                setColumn(undefined);
              }}
              label={`${t.label}, ${t.source}`}
            >
              <span class="name">{t.label}</span> <span class="soft">{t.source}</span>
            </Button>
            {t === table && t.soils.length > 0 && (
              <Choice label="Soil or hazard" required of={t.soils.map((s) => ({ value: s, label: s }))} value={soil} pick={setColumn} />
            )}
            {t === table && t.name === "local" && (
              <>
                <p>
                  {rows
                    ? `${rows.length} rows, ${settings && textOf(settings, "whoaBoySource") ? textOf(settings, "whoaBoySource") : "source not given"}.`
                    : "This property has no local table yet."}
                </p>
                <a class="button wide" href="#/peg/local-table">
                  {rows ? "Rows of the local table" : "Enter the local table"}
                </a>
              </>
            )}
          </li>
        ))}
      </ul>
    </Frame>
  );
}
