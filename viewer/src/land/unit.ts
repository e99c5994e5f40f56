// How units are written, as viewer/src/units.json has it from the server's table.

import table from "../units.json" with { type: "json" };

const words: { readonly [code: string]: string } = table;

/** A UCUM code as people write the unit, "" for a plain number. */
export const unitInWords = (code: string | undefined): string => (code === undefined ? "" : (words[code] ?? code));
