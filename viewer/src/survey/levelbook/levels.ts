// The levels of a book as it stands, half written or not: what is asked of the computation
// level-run, and what its answer says of the book.

import { millimetres, rounded } from "../../base/number.ts";
import type { Problem } from "../../base/problem.ts";
import type { Types } from "../../compute/types/index.ts";
import type { Book } from "./book.ts";
import { type Cell, cellWords, live, type Row } from "./row.ts";
import { withPad } from "./write.ts";
import { metres } from "./keyed.ts";

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
  const staff = book.staffLengthM === undefined ? {} : { staffLengthM: book.staffLengthM };
  return { input: { rows: [...rows, ...closing], tolerance, ...staff }, open };
}

export function levelsOf(run: RunOutput, rows: number, open: boolean): Levels {
  const sights = run.rows.flatMap((r) => sightOf(r) ?? []);
  return { rows: run.rows.slice(0, rows), sightM: sights[sights.length - 1], run, open };
}

/** The level of a row that counts: adjusted, and past a benchmark carried from its known level. */
export const levelOf = (r: Reduced | undefined): number | undefined => r?.adjustedLevelM ?? r?.levelM;

/** The line of sight of a row's backsight, from the level that counts. */
export function sightOf(r: Reduced | undefined): number | undefined {
  if (r?.instrumentLevelM === undefined || r.levelM === undefined) return undefined;
  return rounded(r.instrumentLevelM + (levelOf(r)! - r.levelM), 4);
}

/** A level that a closed run stands behind, whatever was booked after it. */
export const isProven = (r: Reduced | undefined): boolean => r?.basis === "levelled";

/** Whether the book proves its levels, said plainly. */
export interface Standing {
  readonly state: "empty" | "open" | "closed" | "on" | "out"; // on: closed, and something was read since
  readonly words: string;
  readonly short: string;
}

/** How far a run is out on a known level, of what is allowed to there. */
export interface Misclosure {
  readonly misclosureM: number;
  readonly allowableM?: number;
  readonly to?: string; // the point, where the run was compared with more than one, or only on an intermediate sight
}

/**
 * The closure that is nearest to what is allowed of it, or farthest past it. The run's own
 * misclosure is the sum of its loops, in which what one is out by can hide another's; it is
 * the worst only where it is past what is allowed and no loop is.
 */
export function worstOf(run: RunOutput): Misclosure | undefined {
  const { misclosureM, allowableM, closures } = run;
  const whole = misclosureM === undefined ? undefined : { misclosureM, ...(allowableM !== undefined && { allowableM }) };
  if (closures.length === 0 || (closures.length === 1 && whole)) return whole;
  const share = (m: Misclosure): number => Math.abs(m.misclosureM) / (m.allowableM ?? 0) || 0; // 0 of 0 is none
  const isWorse = (a: Misclosure, b: Misclosure) =>
    share(a) > share(b) || (share(a) === share(b) && Math.abs(a.misclosureM) > Math.abs(b.misclosureM));
  const worst = closures.reduce((a, b) => (isWorse(b, a) ? b : a));
  if (whole && allowableM !== undefined && share(whole) > 1 && share(worst) <= 1) return whole;
  const { row, misclosureM: outM, allowableM: allowedM } = worst;
  return { misclosureM: outM, ...(allowedM !== undefined && { allowableM: allowedM }), to: run.rows[row - 1]?.point || `row ${row}` };
}

export function standing(levels: Levels | null): Standing {
  if (!levels) return { state: "empty", words: "Nothing to calculate yet.", short: "Nothing booked yet" };
  const { run, open } = levels;
  const worst = worstOf(run);
  const out = worst ? `out by ${millimetres(Math.abs(worst.misclosureM))}` : "";
  const allowed = worst?.allowableM === undefined ? "" : `, ${millimetres(worst.allowableM)} allowed`;
  const at = worst?.to === undefined ? "" : `, as far as ${worst.to}`;
  if (run.closures.some((c) => !c.closed) || !run.arithmeticOK) {
    return {
      state: "out",
      words: `Does not close${out && `: ${out}${allowed}${at}`}. Its levels cannot be used: level it again.`,
      short: `Does not close${out && `: ${out}`}`,
    };
  }
  if (!open && run.closed) return { state: "closed", words: `Closed: ${out}${allowed}${at}.`, short: `Closed: ${out}` };
  if (run.closedToRow !== undefined) {
    const to = run.rows[run.closedToRow - 1]?.point || `row ${run.closedToRow}`;
    return {
      state: "on",
      words: `Closed as far as ${to}: ${out}${allowed}${worst?.to === to ? "" : at}. What was read after ${to} is not closed yet: end with a foresight on a point of known level.`,
      short: `Closed to ${to}; not closed since`,
    };
  }
  return { state: "open", words: "Not closed yet. End with a foresight on a point of known level.", short: "Not closed yet" };
}

/** What is wrong with a book, by the row and column that the officer sees. */
export function wrongWords(problem: Problem, rows: readonly Row[]): string {
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
