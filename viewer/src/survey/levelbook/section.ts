// The long section that a book's readings make while it is written. Pure; the steps between
// dams are worked out by the computation dam-check.

import type { Types } from "../../compute/types/index.ts";
import type { Section, SectionDam, SectionPair } from "../../section/section.ts";
import { type Feature, kindOf, numberOf, textOf } from "../../base/entry.ts";
import { rounded } from "../../base/number.ts";
import { isProven, levelOf, type Levels } from "./levels.ts";
import type { Row } from "./row.ts";

type DamCheck = Types["dam-check"];

/** The thalwegs whose bed the book has levelled, by id, in the order of the book. */
export function beds(rows: readonly Row[]): readonly string[] {
  return [...new Set(rows.flatMap((r) => (!r.struck && r.spot === "bed" && r.feature ? [r.feature] : [])))];
}

/** One gully's bed and dams as the book has them so far, with the chainages that were booked. */
export function sectionOf(thalweg: string, rows: readonly Row[], levels: Levels, features: readonly Feature[]): Section {
  let proven = true;
  const bed = new Map<number, number>();
  const spots = new Map<string, { toe?: number; crest?: number; chainageM?: number; proven?: boolean }>();
  rows.forEach((row, i) => {
    const m = levelOf(levels.rows[i]);
    const closed = isProven(levels.rows[i]);
    if (row.struck || m === undefined || !row.feature) return;
    if (row.spot === "bed" && row.feature === thalweg && row.chainageM !== undefined) {
      bed.set(row.chainageM, m);
      proven &&= closed;
    }
    if (row.spot !== "toe" && row.spot !== "crest") return;
    const dam = spots.get(row.feature) ?? {};
    spots.set(row.feature, {
      ...dam,
      proven: (dam.proven ?? true) && closed,
      [row.spot]: Math.min(dam[row.spot] ?? Infinity, m),
      ...(row.chainageM === undefined ? {} : { chainageM: row.chainageM }),
    });
  });
  const dams = features.flatMap((f): SectionDam[] => {
    const spot = spots.get(f.id);
    const at = spot?.chainageM ?? numberOf(f, "chainageM");
    const inIt = textOf(f, "thalweg") === thalweg || (spot !== undefined && textOf(f, "thalweg") === "");
    if (kindOf(f) !== "check-dam" || f.struck || at === undefined || !inIt) return [];
    return [
      {
        id: f.id,
        name: textOf(f, "name"),
        status: textOf(f, "status"),
        chainageM: at,
        toeLevelM: spot?.toe,
        crestLevelM: spot?.crest,
        heightM: heightOf(f),
        heightPlanned: isHeightPlanned(f),
        basis: spot?.proven ? "levelled" : "unproven",
      },
    ];
  });
  const places = [...bed].map(([chainageM, levelM]) => ({ chainageM, levelM })).sort((a, b) => a.chainageM - b.chainageM);
  const first = places[0]?.chainageM ?? 0;
  const name = features.find((f) => f.id === thalweg);
  return {
    thalweg,
    ...(name && textOf(name, "name") ? { name: textOf(name, "name") } : {}),
    lengthM: (places[places.length - 1]?.chainageM ?? first) - first,
    proven,
    bed: places,
    dams,
    pairs: [],
    notes: [],
  };
}

/** What to ask of dam-check, with the bed for the humps on it; null with fewer than two levelled dams. */
export function askForSteps(section: Section): DamCheck["input"] | null {
  const dams = section.dams.flatMap((d) =>
    d.toeLevelM !== undefined && d.crestLevelM !== undefined
      ? [{ name: d.id, chainageM: d.chainageM, toeLevelM: d.toeLevelM, crestLevelM: d.crestLevelM }]
      : [],
  );
  if (dams.length < 2) return null;
  return { dams, ...(section.bed.length > 1 ? { bed: section.bed } : {}), basis: section.proven ? "levelled" : "unproven" };
}

/** The steps as a section has them. */
export const stepsOf = (checked: DamCheck["output"]): SectionPair[] =>
  checked.pairs.map(({ lower, upper, spacingM, spacingPlusMinusM, stepM, verdict, hump }) => ({
    lower,
    upper,
    spacingM,
    plusMinusM: spacingPlusMinusM,
    stepM,
    verdict,
    hump,
  }));

/** Whether nobody has measured that height: it is the one that was pegged, or comes from a plan. */
export const isHeightPlanned = (dam: Feature): boolean =>
  numberOf(dam, "crestHeightM") === undefined || textOf(dam, "crestHeightBasis") === "from plan";

/** How high it stands or is to stand above its toe: as measured, else as it was pegged. */
export function heightOf(dam: Feature): number | undefined {
  const measured = numberOf(dam, "crestHeightM");
  const toe = numberOf(dam, "toeLevelM"),
    crest = numberOf(dam, "targetCrestLevelM");
  return measured ?? (toe === undefined || crest === undefined ? undefined : rounded(crest - toe, 4));
}
