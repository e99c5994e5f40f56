// How long a recorded line is and what it encloses, by the computations of package model.

import type { Problem } from "../../base/problem.ts";
import type { Model } from "../../compute/model.ts";
import type { Types } from "../../compute/types/index.ts";
import { lengthOf } from "../../base/plane.ts";
import { type Recording, type Spot, spotsOf } from "./recording.ts";
import { basisOf } from "./finished.ts";

export interface Measured {
  readonly lengthM: number; // as drawn: of an area that is closed its perimeter
  readonly lengthPlusMinusM?: number;
  readonly areaM2?: number; // of an area that is closed
  readonly areaPlusMinusM2?: number;
  /** What it would be if its boundary were closed now. */
  readonly ifClosed?: Measured;
  /** Why there is no area, in the model's words. */
  readonly problem?: Problem;
  /** Whether the model has measured it: without it there is no plus-minus and no area. */
  readonly proven: boolean;
}

/** What can be told at once, without the model. */
export function roughly(recording: Recording): Measured {
  const all = spotsOf(recording);
  const lines = recording.closed ? [...recording.pieces, [all[all.length - 1]!, all[0]!]] : recording.pieces;
  return { lengthM: lines.reduce((sum, line) => sum + lengthOf(line), 0), proven: false };
}

type LineOut = Types["line"]["output"];
type AreaOut = Types["area"]["output"];

/** Measures by the model; rejects when it is not there. */
export async function measure(model: Model, recording: Recording): Promise<Measured> {
  if (recording.shape !== "area" || spotsOf(recording).length < 3) return lengths(model, recording);
  if (recording.closed) return around(model, recording);
  const [drawn, ifClosed] = await Promise.all([lengths(model, recording), around(model, recording)]);
  return { ...drawn, ifClosed };
}

/** Measures an area; where it has none, the length as drawn, and why. */
async function around(model: Model, recording: Recording): Promise<Measured> {
  const all = spotsOf(recording);
  try {
    const out = await model.compute<AreaOut>("area", { rings: [[...all, all[0]!].map(pair)], basis: basisOf(all), ...accuracy(all) });
    return {
      lengthM: out.perimeterM,
      ...(out.perimeterPlusMinusM !== undefined && { lengthPlusMinusM: out.perimeterPlusMinusM }),
      areaM2: out.areaM2,
      ...(out.plusMinusM2 !== undefined && { areaPlusMinusM2: out.plusMinusM2 }),
      proven: true,
    };
  } catch (problem) {
    if (!refused(problem)) throw problem;
    return { ...(await lengths(model, recording)), problem };
  }
}

/** The pieces err apart from each other, so that their variances add (JCGM 100:2008, 5.1.2). */
async function lengths(model: Model, recording: Recording): Promise<Measured> {
  const pieces = recording.pieces.filter((p) => p.length > 1);
  const outs = await Promise.all(
    pieces.map((p) => model.compute<LineOut>("line", { positions: p.map(pair), basis: basisOf(p), ...accuracy(p) })),
  );
  const known = outs.every((o) => o.plusMinusM !== undefined);
  return {
    lengthM: outs.reduce((sum, o) => sum + o.lengthM, 0),
    ...(known && outs.length > 0 && { lengthPlusMinusM: Math.hypot(...outs.map((o) => o.plusMinusM!)) }),
    proven: true,
  };
}

const pair = (s: Spot): [number, number] => [s.lon, s.lat];

function accuracy(spots: readonly Spot[]): { accuracyM?: number } {
  const m = Math.sqrt(spots.reduce((sum, s) => sum + s.accuracyM ** 2, 0) / spots.length);
  return m > 0 && m <= 10_000 ? { accuracyM: m } : {};
}

/** A refusal names where in the input the fault is; without it the model was not there. */
function refused(problem: unknown): problem is Problem {
  return typeof problem === "object" && problem !== null && "reason" in problem && "path" in problem;
}
