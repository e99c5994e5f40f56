// Points whose level is known: by the book itself, by the register's benchmarks, and by
// other runs that were given the level of a benchmark. Pure.

import { type Feature, kindOf, numberOf } from "../../base/entry.ts";
import { ownNameOf } from "../../base/names.ts";
import { live, rowsOf, type Row } from "./row.ts";

export interface KnownPoint {
  readonly point: string;
  readonly levelM: number;
  readonly feature?: string; // id of the benchmark, if it is one
}

/** The level of a benchmark: as this book has it, as the register says, else as another run was given it. */
export function levelOfMark(mark: Feature, rows: readonly Row[], features: readonly Feature[]): number | undefined {
  const given = (all: readonly Row[]) =>
    last(live(all).flatMap(({ row }) => (row.feature === mark.id && row.knownLevelM !== undefined ? [row.knownLevelM] : [])));
  const here = given(rows) ?? numberOf(mark, "levelM");
  if (here !== undefined) return here;
  return last(features.flatMap((f) => (kindOf(f) === "level-run" && !f.struck ? [given(rowsOf(f))] : [])).filter((m) => m !== undefined));
}

const last = <T>(all: readonly T[]): T | undefined => all[all.length - 1];

/** Every point on which a run can begin or close: those of the book first, the last level of each. */
export function knownPoints(rows: readonly Row[], features: readonly Feature[] = []): readonly KnownPoint[] {
  const known = new Map<string, KnownPoint>();
  for (const { row } of live(rows)) {
    if (row.knownLevelM === undefined) continue;
    const mark = row.spot === "mark" ? row.feature : undefined;
    known.set(mark ?? row.point, { point: row.point, levelM: row.knownLevelM, ...(mark === undefined ? {} : { feature: mark }) });
  }
  for (const f of features) {
    if (kindOf(f) !== "benchmark" || f.struck || known.has(f.id)) continue;
    const levelM = levelOfMark(f, rows, features);
    if (levelM === undefined) continue;
    const same = [...known.values()].find((k) => k.point === ownNameOf(f) && k.levelM === levelM);
    if (!same) known.set(f.id, { point: ownNameOf(f), levelM, feature: f.id });
  }
  return [...known.values()];
}
