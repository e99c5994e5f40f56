// Where on a levelled bed the toe of the next dam falls, and the way there. Pure.

import type { Types } from "../../compute/types/index.ts";
import type { LongSection } from "../../compute/sheets.ts";
import { type Feature, numberOf, placeOf } from "../../base/entry.ts";
import { rounded } from "../../base/number.ts";
import { bearingTo, metresBetween } from "../../base/plane.ts";
import type { Fixed } from "../form/beside.ts";
import { upOrBooked } from "../levelbook/chainage.ts";
import { levelOf, type Levels } from "../levelbook/levels.ts";
import type { Row } from "../levelbook/row.ts";
import { stretchOf, upFrom } from "./along.ts";
import type { Crest } from "./dams.ts";
import { type Way, wayTo } from "./guide.ts";
import type { Line } from "./lineends.ts";

type DamLayout = Types["dam-layout"];
type Bed = LongSection["bed"];

/** The bed of a gully, upstream in order: as this book has levelled it, else as others have, where they close. */
export function bedOf(thalweg: string, rows: readonly Row[], levels: Levels, gully: LongSection): Bed {
  const bed = new Map<number, number>();
  rows.forEach((row, i) => {
    const levelM = levelOf(levels.rows[i]);
    if (!row.struck && row.feature === thalweg && row.spot === "bed" && row.chainageM !== undefined && levelM !== undefined)
      bed.set(upOrBooked(row.chainageM, gully), levelM);
  });
  const own = [...bed].map(([chainageM, levelM]) => ({ chainageM, levelM })).sort((a, b) => a.chainageM - b.chainageM);
  return own.length > 1 || !gully.proven ? own : gully.bed;
}

/** How far up the bed the dam below stands; undefined where neither a tape nor the level of its toe tells. */
export function standsUpM(lower: Crest, gully: LongSection | undefined): number | undefined {
  if (lower.chainageM !== undefined) return upOrBooked(lower.chainageM, gully);
  const dam = gully?.dams.find((d) => d.id === lower.feature);
  return dam && onTheBed.has(dam.chainageBasis) ? dam.chainageM : undefined;
}

/** What places a dam on the bed: a tape, or the level of its toe. */
const onTheBed = new Set(["taped", "levelled", "unproven"]);

/** The chainage of a toe that was taped up from the dam below, as the gully is booked. */
export const tapedUpTo = (lower: Crest, upM: number | undefined, gully: LongSection | undefined): number | undefined =>
  lower.chainageM === undefined || upM === undefined ? undefined : upOrBooked(rounded(upOrBooked(lower.chainageM, gully) + upM, 3), gully);

/** What to ask for where on a levelled bed the next toe falls; null where the bed does not reach, or the crest is below it. */
export function askPlace(bed: Bed, lower: Crest, gully: LongSection | undefined, slopePct: number): DamLayout["input"] | null {
  const fromM = standsUpM(lower, gully);
  if (fromM === undefined) return null;
  const i = bed.findIndex((b) => b.chainageM > fromM);
  const a = bed[i - 1],
    b = bed[i];
  if (!a || !b) return null;
  const bedM = a.levelM + ((b.levelM - a.levelM) * (fromM - a.chainageM)) / (b.chainageM - a.chainageM);
  if (lower.levelM <= bedM) return null;
  return { bed: [...bed], crestHeightM: lower.levelM - bedM, fromM, depositSlopePct: slopePct, basis: "unproven" };
}

/** How far up by the tape, and which way from here, where the dam below ties the tape to the line well enough. */
export function wayUp(
  upM: number,
  lower: Crest,
  dam: Feature | undefined,
  line: Line | undefined,
  gully: LongSection | undefined,
  fix: Fixed | null,
  by = "the levelled bed",
): Way {
  const tape = `By ${by}: ${upM.toFixed(1)} m up from the toe of ${lower.name}.`;
  const place = dam && placeOf(dam);
  const accuracyM = dam && numberOf(dam, "accuracyM");
  if (!line || !gully?.line || !fix || place?.type !== "Point" || accuracyM === undefined) return { words: tape };
  const [lon, lat] = place.coordinates;
  const up = upFrom(line, !!gully.line.down, { lon, lat, accuracyM }, upM, stretchOf(gully.lengthM, gully.bed), fix.accuracyM);
  if (!up) return { words: tape };
  if (up.rough) return { words: `${tape} Tape it: by GPS it is ±${Math.ceil(up.plusMinusM)} m.` };
  return wayTo(tape, metresBetween(fix, up.to), bearingTo(fix, up.to), up.plusMinusM);
}
