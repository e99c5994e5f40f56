// Dams that are proposed in a gully and not pegged yet: which is next up it, at what level its
// toe is wanted, and how far a peg stands off the plan. Pure.

import type { LongSection } from "../../compute/sheets.ts";
import { type Feature, type Fields, kindOf, numberOf, placeOf, textOf } from "../../base/entry.ts";
import { ownNameOf } from "../../base/names.ts";
import { number, toMillimetre } from "../../base/number.ts";
import { bearingTo, metresBetween } from "../../base/plane.ts";
import { meanAccuracyM } from "../../sensor/fixfields.ts";
import type { Fixed } from "../form/beside.ts";
import { upOrBooked } from "../levelbook/chainage.ts";
import { type Crest, type PeggedBy, toePegged } from "./dams.ts";
import { type Way, wayTo } from "./guide.ts";
import { standsUpM } from "./nextup.ts";

export interface PlannedDam {
  readonly feature: Feature;
  readonly name: string;
  readonly chainageM: number | undefined; // as the gully is booked
  readonly upM: number | undefined; // up the gully
  readonly toeM: number | undefined; // on the datum of the run that it was planned by
  readonly heightM: number | undefined;
}

/** The proposed dams of a gully, the lowest first; those whose place nobody knows last. */
export function plannedIn(thalweg: string, features: readonly Feature[], gully: LongSection | undefined): readonly PlannedDam[] {
  return features
    .filter((f) => kindOf(f) === "check-dam" && !f.struck && textOf(f, "status") === "proposed" && textOf(f, "thalweg") === thalweg)
    .map((feature) => {
      const chainageM = numberOf(feature, "chainageM");
      return {
        feature,
        name: ownNameOf(feature),
        chainageM,
        upM: chainageM === undefined ? undefined : upOrBooked(chainageM, gully),
        toeM: numberOf(feature, "targetToeLevelM"),
        heightM: numberOf(feature, "crestHeightM"),
      };
    })
    .sort((a, b) => (a.upM ?? Infinity) - (b.upM ?? Infinity) || a.name.localeCompare(b.name, undefined, { numeric: true }));
}

/** How far off the plan a toe is asked about: a third of the lowest dam. Common practice, no source. */
export const farOffM = 0.1;

/** The lowest above the crest that is set out from; by level where no tape tells how far up that stands. */
export function nextPlanned(
  planned: readonly PlannedDam[],
  lower: Crest | undefined,
  gully: LongSection | undefined,
): PlannedDam | undefined {
  if (!lower) return planned[0];
  const fromM = standsUpM(lower, gully);
  return planned.find((p) =>
    fromM === undefined ? p.toeM !== undefined && p.toeM >= lower.levelM - farOffM : p.upM !== undefined && p.upM > fromM,
  );
}

/**
 * Whether the plan tells the level of a toe, and not the crest set out from: of the first dam, of one
 * below that crest or with another proposed between, and of one planned above a gap or a head in the bed.
 */
export function standsApart(
  dam: PlannedDam,
  planned: readonly PlannedDam[],
  lower: Crest | undefined,
  lowerDam: Feature | undefined,
  gully: LongSection | undefined,
  slopePct: number, // at which silt is taken to settle
): boolean {
  if (!lower) return true;
  const fromM = standsUpM(lower, gully);
  if (fromM !== undefined && dam.upM !== undefined) {
    const atM = dam.upM;
    if (atM <= fromM || planned.some(({ upM }) => upM !== undefined && upM > fromM && upM < atM)) return true;
  }
  if (dam.toeM === undefined) return false;
  const plannedToeM = lowerDam && numberOf(lowerDam, "targetToeLevelM");
  const heightM = lowerDam && numberOf(lowerDam, "crestHeightM");
  const crestM = plannedToeM === undefined || heightM === undefined ? lower.levelM : plannedToeM + heightM; // by the same plan
  const siltM = fromM === undefined || dam.upM === undefined ? 0 : ((dam.upM - fromM) * slopePct) / 100;
  return dam.toeM > crestM + siltM + farOffM;
}

/** How far up from the dam below one is planned; undefined where nobody knows. */
export function stepTo({ upM }: PlannedDam, lower: Crest, gully: LongSection | undefined): number | undefined {
  const fromM = standsUpM(lower, gully);
  return upM === undefined || fromM === undefined ? undefined : upM - fromM;
}

/** "planned at chainage 27.4, toe 101.220" */
export const plannedWords = ({ chainageM, toeM }: PlannedDam): string =>
  `planned${chainageM === undefined ? "" : ` at chainage ${number(chainageM, 1)}`}${toeM === undefined ? "" : `, toe ${toMillimetre(toeM)}`}`;

/** The way to where a dam is planned, where its line and the receiver can tell. */
export function wayToPlanned(dam: PlannedDam, thalweg: Feature | undefined, fix: Fixed | null): Way | undefined {
  const place = placeOf(dam.feature);
  const accuraciesM = thalweg?.fields["accuraciesM"];
  if (!fix || place?.type !== "Point" || !Array.isArray(accuraciesM) || accuraciesM.length === 0) return undefined;
  const [lon, lat] = place.coordinates;
  const to = { lon, lat };
  return wayTo(
    "By the plan:",
    metresBetween(fix, to),
    bearingTo(fix, to),
    Math.hypot(fix.accuracyM, meanAccuracyM(accuraciesM as number[])),
  );
}

/** How a peg stands off the plan: "0.04 m above the plan's toe, 1.2 m farther up"; "" where nothing tells. */
export function offPlan(dam: PlannedDam, levelM: number | undefined, upM: number | undefined): string {
  const highM = levelM === undefined || dam.toeM === undefined ? undefined : levelM - dam.toeM;
  const onM = upM === undefined || dam.upM === undefined ? undefined : upM - dam.upM;
  const level = highM === undefined ? "" : aboveOrBelow(highM);
  const along =
    onM === undefined ? "" : Math.abs(onM) < 0.05 ? "at its chainage" : `${number(Math.abs(onM), 1)} m farther ${onM > 0 ? "up" : "down"}`;
  return [level, along].filter(Boolean).join(", ");
}

const aboveOrBelow = (highM: number): string =>
  Math.abs(highM) < 0.005 ? "level with the plan's toe" : `${number(Math.abs(highM), 2)} m ${highM > 0 ? "above" : "below"} the plan's toe`;

/** What to ask of a toe far off the plan; undefined for one that is not. */
export function offPlanQuestion(dam: PlannedDam | undefined, levelM: number): { words: string; ifNot: string; yes: string } | undefined {
  if (dam?.toeM === undefined || Math.abs(levelM - dam.toeM) <= farOffM + 1e-9) return undefined;
  return {
    words: `${aboveOrBelow(levelM - dam.toeM)}, ${toMillimetre(dam.toeM)}.`,
    ifNot: "Move the staff, or peg it here.",
    yes: "Peg it here",
  };
}

/** What pegging adds to a proposed dam: its name and what the plan said of it stay. */
export function plannedPegged(dam: PlannedDam, by: PeggedBy, chainageM: number | undefined, day: string, place: Fields): Fields {
  const { heightM } = by;
  const another = heightM !== undefined && dam.heightM !== undefined && heightM !== dam.heightM;
  return { ...toePegged(by, chainageM, day, place), ...(another ? { crestHeightM: heightM, crestHeightBasis: "from plan" } : {}) };
}

/** The slope at which the plan that proposed a dam has silt settle, as a choice has it; undefined where none tells. */
export function plannedSlope(dam: PlannedDam | undefined, features: readonly Feature[]): string | undefined {
  const plan = dam && features.find((f) => f.id === textOf(dam.feature, "plan"));
  try {
    const pct = plan && (JSON.parse(textOf(plan, "input")) as { depositSlopePct?: number }).depositSlopePct;
    return pct === undefined ? undefined : String(pct);
  } catch {
    return undefined;
  }
}
