// The settings of a property in the register, which reach every phone and the office: whose
// spacings whoa-boys are pegged by. Pure.

import { type Feature, type Fields, kindOf, settingsKind, textOf } from "../../base/entry.ts";
import { tables, type Spacing, type TableRow } from "./banks.ts";
import { localName, type SpacingRow } from "./localtable.ts";

/** The feature that holds a property's settings: as model.SettingsID has it, so that phones with no signal write to one. */
export const settingsID = (property: string): string => `${settingsKind}-${property}`;

/** The settings of the property; of one that was joined to another under its older id. */
export function settingsOf(features: readonly Feature[], property: string): Feature | undefined {
  const all = features.filter((f) => kindOf(f) === settingsKind && !f.struck);
  return all.find((f) => f.id === settingsID(property)) ?? all[0];
}

/** What the property pegs whoa-boys by. */
export interface Chosen {
  readonly table: TableRow;
  readonly spacing: Spacing;
  readonly clash: boolean; // two phones chose differently, unseen by each other
}

/** Undefined while nobody has chosen; a table that this page does not know counts as none. */
export function chosenTable(settings: Feature | undefined): Chosen | undefined {
  const table = settings && tables.find((t) => t.name === textOf(settings, "whoaBoyTable"));
  if (!table) return undefined;
  const clash = settings.clashes.some((name) => name.startsWith("whoaBoy"));
  const spacing = spacingBy(table, textOf(settings, "whoaBoySoil"), settings);
  return spacing && { table, spacing, clash };
}

/** The spacings of a table; undefined while its soil is not chosen, and for the local table of a property that has none. */
export function spacingBy(table: TableRow, soil: string | undefined, settings: Feature | undefined): Spacing | undefined {
  if (table.name === "local") {
    const rows = localRowsOf(settings);
    return rows && { table: table.name, rows, source: textOf(settings!, "whoaBoySource") };
  }
  const column = table.soils.find((s) => s === soil);
  return table.soils.length > 0 && !column ? undefined : { table: table.name, soil: column };
}

/** A chosen table by its name and by who made it. */
export const calledTable = ({ table, spacing }: Chosen): string =>
  spacing.table === "local" ? localName(spacing.source) : `${table.label} (${table.source})`;

/** The rows of the property's local table; undefined when it has none. */
export function localRowsOf(settings: Feature | undefined): readonly SpacingRow[] | undefined {
  const rows = settings?.fields["whoaBoyRows"];
  return Array.isArray(rows) && rows.length > 0 ? (rows as SpacingRow[]) : undefined;
}

/** What is recorded when a table is chosen. The rows of a local table stay when another is. */
export function choose(spacing: Spacing): Fields {
  const own = spacing.table === "local" ? { whoaBoyRows: spacing.rows, whoaBoySource: spacing.source.trim() || null } : {};
  return { kind: settingsKind, whoaBoyTable: spacing.table, whoaBoySoil: spacing.soil ?? null, ...own };
}
