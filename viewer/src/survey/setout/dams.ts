// Setting out check dams: the toe of the next one up the gully stands level with the crest
// of the one below, or as far above it as silt settles. Pure.

import type { Types } from "../../compute/types/index.ts";
import { type Feature, type Fields, kindOf, numberOf, textOf } from "../../base/entry.ts";
import { heightOf } from "../levelbook/section.ts";
import { levelOf, type Levels } from "../levelbook/levels.ts";
import type { Row } from "../levelbook/row.ts";
import { nextName, ownNameOf } from "../../base/names.ts";
import { rounded, toMillimetre } from "../../base/number.ts";

type DamCheck = Types["dam-check"];

/** The crest to set out from. */
export interface Crest {
  readonly feature: string; // id of the dam; "" for a level that was typed
  readonly name: string;
  readonly levelM: number;
  readonly how: "levelled" | "toe and height"; // a dam that is only pegged has no crest to level
  readonly chainageM?: number;
}

/** Crests that the book gives, the dam levelled last first. */
export function crestsIn(rows: readonly Row[], levels: Levels, features: readonly Feature[]): readonly Crest[] {
  const found = new Map<string, Crest>();
  const toes = new Map<string, Crest>();
  rows.forEach((row, i) => {
    const levelM = levelOf(levels.rows[i]);
    const dam = features.find((f) => f.id === row.feature);
    if (row.struck || levelM === undefined || !dam || dam.struck || kindOf(dam) !== "check-dam") return;
    const chainageM = row.chainageM ?? numberOf(dam, "chainageM");
    const about = { feature: dam.id, name: ownNameOf(dam), ...(chainageM === undefined ? {} : { chainageM }) };
    const heightM = heightOf(dam);
    if (row.spot === "crest") {
      found.delete(dam.id);
      found.set(dam.id, { ...about, levelM, how: "levelled" });
    } else if (row.spot === "toe" && heightM !== undefined) {
      toes.delete(dam.id);
      toes.set(dam.id, { ...about, levelM: rounded(levelM + heightM, 4), how: "toe and height" });
    }
  });
  return [...[...toes.values()].filter((t) => !found.has(t.feature)), ...found.values()].reverse();
}

/**
 * What to ask for the level wanted so far up the gully: an upper dam whose toe is level
 * with the lower crest is out by just the rise of the silt between. Null where none rises,
 * or nobody has taped how far.
 */
export function askRise(crestM: number, upM: number | undefined, slopePct: number): DamCheck["input"] | null {
  if (upM === undefined || upM <= 0 || slopePct === 0) return null;
  return {
    dams: [
      { name: "lower", chainageM: 0, toeLevelM: crestM, crestLevelM: crestM },
      { name: "upper", chainageM: upM, toeLevelM: crestM, crestLevelM: crestM },
    ],
    depositSlopePct: slopePct,
  };
}

export const targetAbove = (crestM: number, checked: DamCheck["output"]): number => rounded(crestM - (checked.pairs[0]?.stepM ?? 0), 4);

/** What the book's row says of a toe besides its reading: what it was set out from. */
export function toeRemark(lower: Crest | undefined, upM: number | undefined): string | undefined {
  if (!lower) return undefined;
  const crest = lower.feature ? "" : `to a crest typed at ${toMillimetre(lower.levelM)}`;
  const up = upM === undefined ? "" : `taped ${upM} m up from the toe of ${damWords(lower)}`;
  return [up, crest].filter(Boolean).join(", ") || undefined;
}

/** How a sentence names the dam below. */
export const damWords = (lower: Crest): string => (lower.feature ? lower.name : "the dam below");

export const nextDamName = (features: readonly Feature[]): string =>
  nextName(
    "Dam ",
    features.filter((f) => kindOf(f) === "check-dam").map((f) => textOf(f, "name")),
  );

/** What a dam is pegged by: the level of its toe, and of the crest that is to be built there. */
export interface PeggedBy {
  readonly run: string; // the level run, whose datum the levels are on
  readonly toeLevelM: number;
  readonly heightM: number | undefined; // to be built: nobody has measured it
  readonly below?: string | undefined; // id of the dam that it was set out from
  readonly upM?: number | undefined; // taped up from the toe of the dam below
}

/** A dam that is pegged, not yet built. */
export function peggedDam(name: string, by: PeggedBy, thalweg: string, chainageM: number | undefined, day: string, place: Fields): Fields {
  return { kind: "check-dam", name, ...(thalweg ? { thalweg } : {}), ...toePegged(by, chainageM, day, place) };
}

/** What pegging tells of a dam. */
export function toePegged(by: PeggedBy, chainageM: number | undefined, day: string, place: Fields): Fields {
  return {
    status: "pegged",
    peggedOn: day,
    observedOn: day,
    toeLevelM: by.toeLevelM,
    levelRun: by.run,
    ...(by.heightM === undefined ? {} : { targetCrestLevelM: rounded(by.toeLevelM + by.heightM, 4) }),
    ...(by.upM === undefined ? {} : { ...(by.below ? { damBelow: by.below } : {}), fromBelowM: by.upM, fromBelowBasis: "taped" }),
    ...(chainageM === undefined ? {} : { chainageM, chainageBasis: "taped" }), // its box asks for a taped one
    ...place,
  };
}
