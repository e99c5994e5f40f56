// The officer's own table of spacings, as it is typed on the phone: rows of a fall and of
// how far apart banks may stand on it. What a row may say is decided by the computation.
// Pure.

import type { Types } from "../../compute/types/index.ts";
import { numberIn } from "../../base/number.ts";
import { inWords, type Problem } from "../../base/problem.ts";

type WhoaBoys = Types["whoa-boys"];
export type SpacingRow = NonNullable<WhoaBoys["input"]["rows"]>[number];

export interface TypedRow {
  readonly upTo: string; // [%] steepest fall of the row
  readonly apart: string; // [m] farthest that banks may stand apart on it
}

export interface LocalTable {
  readonly rows: readonly TypedRow[];
  readonly source: string; // who it comes from
}

const emptyRow: TypedRow = { upTo: "", apart: "" };
export const noTable: LocalTable = { rows: [emptyRow], source: "" };

/** The table as it would be typed. */
export const typedTable = (rows: readonly SpacingRow[] | undefined, source: string): LocalTable =>
  rows ? { rows: rows.map((row) => ({ upTo: String(row.upToPct), apart: String(row.spacingM) })), source } : noTable;

/** Under which the phone keeps the table of a property. */
export const localTableKey = (property: string): string => `local spacing table ${property}`;

/** What a box says; NaN for what is no number. Falls and distances have no sign. */
const figureIn = (text: string): number => (/^\s*[-+\u2212]/.test(text) ? NaN : (numberIn(text) ?? NaN));

const isEmpty = (row: TypedRow): boolean => row.upTo.trim() === "" && row.apart.trim() === "";

/** The table with one row replaced. */
export const withRow = (table: LocalTable, at: number, change: Partial<TypedRow>): LocalTable => ({
  ...table,
  rows: table.rows.map((row, i) => (i === at ? { ...row, ...change } : row)),
});

/** The table with a row more to write in; one that is still empty will do. */
export const withRoom = (table: LocalTable): LocalTable =>
  table.rows.some(isEmpty) ? table : { ...table, rows: [...table.rows, emptyRow] };

/** What is wrong with a row, with a box of it where it can be told. */
export interface Wrong {
  readonly row?: number; // as typed, the first is 0; absent for the table as a whole
  readonly box?: keyof TypedRow;
  readonly words: string;
}

/** A table that can be asked with, or what keeps it from that. Rows left empty do not count. */
export type Read =
  | { readonly rows: readonly SpacingRow[]; readonly at: readonly number[]; readonly wrong?: undefined }
  | { readonly wrong: Wrong };

export function readTable(table: LocalTable): Read {
  const rows: SpacingRow[] = [];
  const at: number[] = [];
  for (const [i, row] of table.rows.entries()) {
    if (isEmpty(row)) continue;
    for (const box of ["upTo", "apart"] as const) {
      if (row[box].trim() === "") return { wrong: { row: i, box, words: "Missing." } };
      if (Number.isNaN(figureIn(row[box])))
        return { wrong: { row: i, box, words: `"${row[box].trim()}" is not a number: write it like 4.5.` } };
    }
    rows.push({ upToPct: figureIn(row.upTo), spacingM: figureIn(row.apart) });
    at.push(i);
  }
  return rows.length === 0 ? { wrong: { words: "The local table has no row yet." } } : { rows, at };
}

/** What to ask of whoa-boys so that it judges the rows alone: a track that does not fall. */
export const askRows = (rows: readonly SpacingRow[]): WhoaBoys["input"] => ({
  track: [
    { chainageM: 0, levelM: 0 },
    { chainageM: 10, levelM: 0 },
  ],
  table: "local",
  rows: [...rows],
  basis: "unproven",
});

const boxes: { readonly [name: string]: keyof TypedRow } = { upToPct: "upTo", spacingM: "apart" };

/** A refusal of the computation at the row that was typed. */
export function wrongOf(problem: Problem, at: readonly number[]): Wrong {
  const [, n, name = ""] = /^rows\[(\d+)\]\.?(\w*)/.exec(problem.path ?? "") ?? [];
  const words = inWords(problem);
  const row = n === undefined ? undefined : at[Number(n)];
  if (row === undefined) return { words };
  const box = boxes[name];
  return box ? { row, box, words } : { row, words };
}

/** The table by its name and by who made it: "the local table (Shire office, sheet 4)". */
export const localName = (source: string): string => `the local table${source.trim() ? ` (${source.trim()})` : ", source not given"}`;
