// The levels of a book as it stands, half written or not: what is asked of the computation
// level-run, and what its answer says of the book.

import type { Types } from "../../../wasm/types.ts";
import type { Book } from "./book.ts";
import type { Cell, Row } from "./row.ts";
import { cellWords, live } from "./row.ts";
import { withPad } from "./write.ts";
import { metres } from "./reading.ts";

export type RunInput = Types["level-run"]["input"];
export type RunOutput = Types["level-run"]["output"];
export type Reduced = RunOutput["rows"][number];

export interface Levels {
  /** One for each row, the pad's too; undefined where it has none. */
  readonly rows: readonly (Reduced | undefined)[];
  /** Of the set-up that stands now: the level of the line of sight. */
  readonly sightM: number | undefined;
  readonly run: RunOutput;
  /** The book does not end on a foresight: there is nothing to close yet. */
  readonly open: boolean;
}

/**
 * What to ask. The computation takes whole books only, which end with a foresight; a book
 * that does not is given one more sight, on the point sighted last, which adds no rise and
 * no fall. Null for a book with no backsight yet.
 */
export function askFor(book: Book): { readonly input: RunInput; readonly open: boolean } | null {
  const rows = withPad(book);
  const all = live(rows);
  const last = all[all.length - 1]?.row;
  if (!last || all[0]!.row.bs === undefined || all[0]!.row.knownLevelM === undefined) return null;
  const open = last.fs === undefined || last.bs !== undefined;
  const again = last.bs ?? last.is;
  if (open && again === undefined) return null;
  const closing: Row[] = open ? [{ point: "", fs: again!, ...(last.inverted ? { inverted: true } : {}) }] : [];
  const tolerance = book.rule.per === "km" ? { perRootKmMm: book.rule.mm } : { perRootSetupMm: book.rule.mm };
  return { input: { rows: [...rows, ...closing], tolerance }, open };
}

export function levelsOf(run: RunOutput, rows: number, open: boolean): Levels {
  const sights = run.rows.flatMap((r) => (r.instrumentLevelM === undefined ? [] : [r.instrumentLevelM]));
  return { rows: run.rows.slice(0, rows), sightM: sights[sights.length - 1], run, open };
}

/** Whether the book proves its levels, said plainly. */
export interface Standing {
  readonly state: "empty" | "open" | "closed" | "out";
  readonly words: string;
  readonly short: string;
}

export function standing(levels: Levels | null): Standing {
  if (!levels) return { state: "empty", words: "Nothing to calculate yet.", short: "Nothing booked yet" };
  const { run, open } = levels;
  const out = run.misclosureM === undefined ? "" : `out by ${millimetres(run.misclosureM)}`;
  const allowed = run.allowableM === undefined ? "" : `, ${millimetres(run.allowableM)} allowed`;
  if (run.closures.some((c) => !c.closed) || !run.arithmeticOK) {
    return { state: "out", words: `Does not close${out && `: ${out}${allowed}`}. Its levels cannot be used: level it again.`, short: `Does not close${out && `: ${out}`}` };
  }
  if (!open && run.closed) return { state: "closed", words: `Closed: ${out}${allowed}.`, short: `Closed: ${out}` };
  return { state: "open", words: "Not closed yet. End with a foresight on a point of known level.", short: "Not closed yet" };
}

export const millimetres = (m: number): string => `${Math.round(Math.abs(m) * 10000) / 10} mm`;

/** What is wrong with a book, by the row and column that the officer sees. */
export function wrongWords(problem: { readonly path?: string; readonly reason: string; readonly fix?: string }, rows: readonly Row[]): string {
  const at = /^rows\[(\d+)\](?:\.(\w+))?/.exec(problem.path ?? "");
  const row = at ? rows[Number(at[1])] : undefined;
  const where = row ? `Row ${Number(at![1]) + 1}${row.point ? ` (${row.point})` : ""}${columnWords(at![2])}: ` : "";
  const reason = problem.reason.replace(/\.$/, "");
  return `${where}${reason}${problem.fix ? `; ${problem.fix.replace(/\.$/, "")}` : ""}.`;
}

function columnWords(name: string | undefined): string {
  if (name === undefined) return "";
  const word = cellWords[name as Cell] ?? { knownLevelM: "Known level", distanceM: "Distance" }[name];
  return word ? `, ${word.toLowerCase()}` : "";
}

/** "rise 0.953", "fall 2.239", "" for the first. */
export function stepWords(r: Reduced | undefined): string {
  if (r?.riseM !== undefined) return `rise ${metres(r.riseM)}`;
  return r?.fallM !== undefined ? `fall ${metres(r.fallM)}` : "";
}

/** Levels that stand known in the book, for closing on: the last of each point's. */
export function knownPoints(rows: readonly Row[]): readonly { readonly point: string; readonly levelM: number }[] {
  const known = new Map<string, number>();
  for (const { row } of live(rows)) if (row.knownLevelM !== undefined) known.set(row.point, row.knownLevelM);
  return [...known].map(([point, levelM]) => ({ point, levelM }));
}
