// The kinds of features and how units are written, as kinds.json and units.json have
// them from the tables that the server checks by.

import table from "./kinds.json" with { type: "json" };
import units from "./units.json" with { type: "json" };

export interface Field {
  readonly name: string;
  readonly label: string;
  readonly type:
    | "text"
    | "number"
    | "integer"
    | "yes-no"
    | "date"
    | "instant"
    | "choice"
    | "feature"
    | "geometry"
    | "photos"
    | "numbers"
    | "level-rows"
    | "spacing-rows"
    | "rates"
    | "rain-rows";
  readonly unit?: string; // UCUM
  readonly min?: number; // bounds, when min and max differ; one that is 0 is left out
  readonly max?: number;
  readonly choices?: readonly string[];
  readonly required?: boolean;
  readonly hint?: string;
  readonly basis?: string; // the field that tells how this one was measured
  readonly was?: { readonly [older: string]: string }; // words of older programs for choices, and what each is now
}

export interface Kind {
  readonly name: string;
  readonly label: string;
  readonly plural: string;
  readonly shapes: readonly ("point" | "line" | "area" | "none")[];
  readonly work: boolean;
  readonly fields: readonly Field[];
  readonly mark?: string;
  readonly colour: string;
  readonly what?: string;
  readonly care?: string;
}

export const kinds = table.kinds as readonly Kind[];
export const commonFields = table.commonFields as readonly Field[];
const workFields = table.workFields as readonly Field[];

const byName = new Map(kinds.map((k) => [k.name, k]));

/** The row of a kind; what nobody knows here is shown as unsorted. */
export function kindNamed(name: string): Kind {
  return byName.get(name) ?? byName.get("unsorted")!;
}

/** The field of a kind, as its forms and pages know it. */
export const fieldNamed = (kind: string, field: string): Field => fieldsOf(kindNamed(kind)).find((f) => f.name === field)!;

/** A choice in the words of today; what was stored in others stays as it is. */
export const wordNow = (field: Field, value: string): string => field.was?.[value] ?? value;

/** Every field of a kind in the table's order. */
export function fieldsOf(kind: Kind): readonly Field[] {
  return [...commonFields, ...(kind.work ? workFields : []), ...kind.fields];
}

/** The kinds that are marked by standing there. A visit has a screen of its own. */
export const pointKinds: readonly Kind[] = kinds.filter((k) => k.shapes.includes("point") && k.name !== "visit");

const unitWords: { readonly [code: string]: string } = units;

/** A UCUM code as people write the unit, "" for a plain number. */
export const unitInWords = (code: string | undefined): string => (code === undefined ? "" : (unitWords[code] ?? code));
