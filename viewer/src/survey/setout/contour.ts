// Pegging a contour: every peg stands at the level of the first. Pure.

import type { Types } from "../../compute/types/index.ts";
import { type Feature, type Fields, type Geometry, kindOf, numberOf, placeOf, textOf } from "../../base/entry.ts";
import { nextName } from "../../base/names.ts";
import { rounded } from "../../base/number.ts";
import { meanAccuracyM } from "../../sensor/fixfields.ts";
import { isProven, levelOf, type Levels } from "../levelbook/levels.ts";
import type { Row } from "../levelbook/row.ts";

type ContourCheck = Types["contour-check"];

/** Lines that are pegged on the contour, and how far off a peg may be. Common practice, no source. */
export const contourKinds: { readonly [kind: string]: number } = { "rip-line": 0.05, windrow: 0.1 };

/** How far a peg of the line may be off: as the line says, else as its kind does. */
export const toleranceOf = (line: Feature | undefined, kind: string): number =>
  (line && numberOf(line, "toleranceM")) || contourKinds[kind] || 0.05;

export interface Peg {
  readonly name: string;
  readonly chainageM: number;
  readonly levelM: number;
}

/** The pegs of a line in this book, in its order. Those without a taped chainage come one metre after another. */
export function pegsIn(
  line: string,
  rows: readonly Row[],
  levels: Levels,
): { readonly pegs: readonly Peg[]; readonly taped: boolean; readonly proven: boolean } {
  const found = rows.flatMap((row, i) => {
    const levelM = levelOf(levels.rows[i]);
    return !row.struck && row.feature === line && row.spot === "peg" && levelM !== undefined
      ? [{ name: row.point, chainageM: row.chainageM, levelM, closed: isProven(levels.rows[i]) }]
      : [];
  });
  const taped = found.every((p) => p.chainageM !== undefined);
  const pegs = found.map((p, i) => ({ name: p.name, levelM: p.levelM, chainageM: taped ? p.chainageM! : i }));
  return {
    pegs: taped ? pegs.sort((a, b) => a.chainageM - b.chainageM) : pegs,
    taped,
    proven: found.length > 0 && found.every((p) => p.closed),
  };
}

/** How far along the peg after one so far along is due: as far again as from the last to that; undefined where that was not taped on. */
export function dueAt(pegs: readonly Peg[], taped: boolean, alongM: number | undefined): number | undefined {
  const last = pegs[pegs.length - 1];
  if (!taped || !last || alongM === undefined || alongM <= last.chainageM) return undefined;
  return rounded(2 * alongM - last.chainageM, 3);
}

/** What to ask of contour-check. While the book is open its levels prove nothing, and it says so. */
export function askContour(pegs: readonly Peg[], toleranceM: number, proven: boolean): ContourCheck["input"] | null {
  const apart = pegs.every((p, i) => i === 0 || p.chainageM - pegs[i - 1]!.chainageM >= 0.001);
  return pegs.length < 2 || !apart ? null : { pegs: [...pegs], toleranceM, basis: proven ? "levelled" : "unproven" };
}

/** What was found of the pegs so far, in a sentence for the one that is farthest off. */
export function contourWords(checked: ContourCheck["output"], toleranceM: number): string {
  const { worst } = checked;
  const name = worst.name ?? `Peg ${worst.peg}`;
  const off = `${Math.abs(worst.offM).toFixed(3)} m ${worst.offM > 0 ? "high" : "low"}`;
  if (Math.abs(worst.offM) > toleranceM + 1e-9) return `${name} is ${off}: move it ${worst.offM > 0 ? "downhill" : "uphill"}.`;
  const within = `All ${checked.offsM.length} pegs are within ${toleranceM.toFixed(2)} m of their mean level; ${name} is ${off}.`;
  return checked.verdict === "not levelled" ? `${within} Not yet checked by a closed level run.` : within;
}

/** The next line's name of a kind: "Rip line 3". */
export const nextLineName = (features: readonly Feature[], label: string): string =>
  nextName(
    `${label} `,
    features.map((f) => textOf(f, "name")),
  );

/** What a peg was levelled at: its level, by which run, and its chainage where it was taped. */
export interface PegLevel {
  readonly levelM: number;
  readonly run: string;
  readonly chainageM: number | undefined;
}

/** A peg as a thing of its own, so that it is found again on the map. */
export function pegFields(name: string, line: string, { levelM, run, chainageM }: PegLevel, day: string, place: Fields): Fields {
  return {
    kind: "peg",
    name,
    of: line,
    observedOn: day,
    levelM,
    levelRun: run,
    ...(chainageM === undefined ? {} : { chainageM, chainageBasis: "taped" }),
    ...place,
  };
}

/**
 * The shape of a line begun here: through its pegs that have a place, in the order of
 * pegging, with what is known of their positions: one of unknown accuracy leaves that of the
 * line unknown. Undefined while there are fewer than two, and for a line drawn another way than
 * by a plan.
 */
export function lineThrough(line: Feature | undefined, pegs: readonly Feature[], newest: Fields, id: string): Fields | undefined {
  const place = line && placeOf(line);
  const planned = place?.type === "LineString" && textOf(line!, "positionBasis") === "from plan"; // in pieces it has gaps, which pegs do not show
  if (place && !planned && line!.fields["drawnThrough"] !== "pegs") return undefined;
  const earlier = pegs.filter((f) => kindOf(f) === "peg" && !f.struck && f.fields["of"] === id).map((f) => f.fields);
  const placed = [...earlier, newest].flatMap((fields) => {
    const place = fields["geometry"] as Geometry | null | undefined;
    return place?.type === "Point" ? [{ at: place.coordinates, accuracyM: fields["accuracyM"], basis: fields["positionBasis"] }] : [];
  });
  const apart = placed.filter(({ at }, i) => i === 0 || at[0] !== placed[i - 1]!.at[0] || at[1] !== placed[i - 1]!.at[1]);
  if (apart.length < 2) return undefined;
  const accuraciesM = apart.flatMap(({ accuracyM }) => (typeof accuracyM === "number" && accuracyM > 0 ? [accuracyM] : []));
  return {
    geometry: { type: "LineString", coordinates: apart.map(({ at }) => at) },
    drawnThrough: "pegs",
    positionBasis: apart.some(({ basis }) => basis === "drawn on the map") ? "drawn on the map" : "GPS",
    accuracyM: accuraciesM.length === apart.length ? meanAccuracyM(accuraciesM) : null,
  };
}
