// What a check dam's notch is asked by, and the rock of the dam behind it: the item's own height and
// material, and what the officer taped or chose. Pure.

import type { Types } from "../../compute/types/index.ts";
import { type Feature, textOf } from "../../base/entry.ts";
import { number, numberIn, withPlusMinus } from "../../base/number.ts";
import { heightOf, isHeightPlanned } from "../levelbook/section.ts";

type Notch = Types["notch"];
type RockDam = Types["rock-dam"];

/** What the officer typed, "" for nothing. */
export interface TypedNotch {
  readonly flow: string; // m³/s
  readonly length: string; // of the notch's level bottom, m
  readonly bottom: string; // width of the gully's bottom, m
  readonly ends: string; // of a standing dam above the bottom of its notch, m
  readonly breadth: string; // along the stream, m
  readonly upstream: string; // the faces, 1 in this
  readonly downstream: string;
}

export const nothingTyped: TypedNotch = { flow: "", length: "", bottom: "", ends: "", breadth: "", upstream: "", downstream: "" };

const known = (text: string): number | undefined => {
  const m = numberIn(text);
  return m === undefined || Number.isNaN(m) ? undefined : m;
};

/** Null while flow or length are missing: two of three are needed, and the head is asked for. */
export function askNotch({ flow, length, bottom, ends }: TypedNotch): Notch["input"] | null {
  const [flowM3S, crestLengthM, gullyBottomM, endsAboveCrestM] = [flow, length, bottom, ends].map(known);
  if (flowM3S === undefined || crestLengthM === undefined) return null;
  return {
    ...{ flowM3S, crestLengthM },
    ...(gullyBottomM === undefined ? {} : { gullyBottomM }),
    ...(endsAboveCrestM === undefined ? {} : { endsAboveCrestM }),
  };
}

/** The dam with the notch that was answered; null while something of it is missing, or where it is not of loose rock. */
export function askRock(dam: Feature, typed: TypedNotch, notch: Notch["output"] | undefined): RockDam["input"] | null {
  const heightM = heightOf(dam);
  const [bedWidthM, crestBreadthM, upstreamRunPerRise, downstreamRunPerRise] = [
    typed.bottom,
    typed.breadth,
    typed.upstream,
    typed.downstream,
  ].map(known);
  if (!isRock(dam) || !notch || heightM === undefined) return null;
  if (bedWidthM === undefined || crestBreadthM === undefined || upstreamRunPerRise === undefined || downstreamRunPerRise === undefined)
    return null;
  return {
    ...{ material: "loose rock", crestHeightM: heightM, bedWidthM, crestBreadthM, upstreamRunPerRise, downstreamRunPerRise },
    basis: (textOf(dam, "crestHeightBasis") || "not recorded") as NonNullable<RockDam["input"]["basis"]>,
    ...{ notchDepthM: notch.abutmentHeightM, notchLengthM: notch.crestLengthM, flowM3S: notch.flowM3S },
  };
}

export const isRock = (dam: Feature): boolean => textOf(dam, "material") === "loose rock";

/** What of the dam itself is not recorded and is needed, as a sentence goes on. */
export function lacking(dam: Feature): readonly string[] {
  return [...(heightOf(dam) === undefined ? ["crest above bed"] : []), ...(textOf(dam, "material") === "" ? ["built from"] : [])];
}

/** "Crest 0.4 m above the bed by the plan, of loose rock." */
export function damAsKnown(dam: Feature): string {
  const heightM = heightOf(dam),
    material = textOf(dam, "material");
  const parts = [
    heightM !== undefined && `crest ${number(heightM, 2)} m above the bed${isHeightPlanned(dam) ? " by the plan" : ""}`,
    material && `of ${material}`,
  ].filter(Boolean);
  return parts.length === 0 ? "" : `${parts.join(", ")}.`.replace(/^./, (first) => first.toUpperCase());
}

/** What the water does, and how high the ends must be. */
export function notchWords(n: Notch["output"]): readonly string[] {
  const held =
    n.endsHold === undefined
      ? ""
      : n.endsHold
        ? "The lower end is high enough."
        : `The lower end is ${number(n.endsLackM ?? 0, 2)} m too low: build it up before the water goes round.`;
  return [
    `Water stands ${n.headPlusMinusM ? withPlusMinus(n.headM, n.headPlusMinusM) : number(n.headM, 2)} m deep in the notch, and leaves it at ${number(n.velocityMS, 1)} m/s.`,
    `Both ends must stand at least ${number(n.abutmentHeightM, 2)} m above the bottom of the notch: the water and ${number(n.freeboardM, 2)} m of freeboard.`,
    held,
  ].filter(Boolean);
}

/** What rock the dam takes: which stone, how long an apron, how much in all. */
export function rockWords(r: RockDam["output"]): readonly string[] {
  const stone = (mm: number) => `${number(Math.ceil(mm / 10) * 10, 0)} mm`;
  return [
    r.faceStoneMM === undefined ? "" : `Stone on the downstream face: half of it by weight ${stone(r.faceStoneMM)} or larger.`,
    r.apronLengthM > 0
      ? `Apron below the toe: ${number(r.apronLengthM, 1)} m long, ${number(r.apronWidthM, 1)} m wide, ${number(r.apronThicknessM, 2)} m thick${r.apronStoneMM === undefined ? "" : `, median stone ${stone(r.apronStoneMM)}`}.`
      : "",
    `Rock to cart: ${number(r.totalRockM3, 1)} m³, of which ${number(r.apronM3, 1)} m³ for the apron. How far it may be out is not known.`,
  ].filter(Boolean);
}
