// Pegging whoa-boys down a track by its fall. Pure.

import type { Types } from "../../compute/types/index.ts";
import { type Feature, type Fields, kindOf, textOf } from "../../base/entry.ts";
import { nextName } from "../../base/names.ts";
import { number, rounded } from "../../base/number.ts";
import type { SpacingRow } from "./localtable.ts";

type WhoaBoys = Types["whoa-boys"];
type TableName = NonNullable<WhoaBoys["input"]["table"]>;
type Soil = NonNullable<WhoaBoys["input"]["soil"]>;

export interface TableRow {
  readonly name: TableName;
  readonly label: string; // what it is for
  readonly source: string; // beside it
  readonly soils: readonly Soil[];
}

/** The property's own table first, then published ones and their columns. They differ threefold: the officer chooses. */
export const tables: readonly TableRow[] = [
  { name: "local", label: "The local table", source: "your own, for this property", soils: [] },
  { name: "water-bars-two-soils", label: "Whoa-boys, two soils", source: "Packer 1967", soils: ["general", "highly erodible"] },
  {
    name: "water-bars-by-class",
    label: "Whoa-boys by class of grade",
    source: "Keller and Sherar 2003",
    soils: ["low to non-erosive", "erosive"],
  },
  { name: "dips-and-culverts", label: "Dips and culverts", source: "Keller and Sherar 2003", soils: ["low to non-erosive", "erosive"] },
  {
    name: "legal-maximum-by-hazard",
    label: "Legal maximum by hazard",
    source: "California Code of Regulations",
    soils: ["extreme", "high", "moderate", "low"],
  },
  { name: "water-bars-one-soil", label: "Whoa-boys, one column for all soils", source: "Southern Regional Extension Forestry", soils: [] },
  {
    name: "broad-based-dips",
    label: "Broad-based dips",
    source: "Orange County, North Carolina",
    soils: ["near end of range", "far end of range"],
  },
];

export interface Fall {
  readonly topLevelM: number; // at the last bank, or where the slope begins
  readonly hereLevelM: number;
  readonly distanceM: number; // taped between them
}

/** How far down the track the same fall is taken to go on, for a bank beyond the staff. */
const onwardsM = 500;

/** Whose spacings: a published table by its column, or the officer's own rows. */
export type Spacing =
  | { readonly table: Exclude<TableName, "local">; readonly soil?: Soil | undefined }
  | { readonly table: "local"; readonly rows: readonly SpacingRow[]; readonly source: string; readonly soil?: undefined };

/** What to ask of whoa-boys: the track from the last bank down, as straight as its fall so far. Null for no fall. */
export function askBank(fall: Fall, by: Spacing): WhoaBoys["input"] | null {
  const drop = fall.topLevelM - fall.hereLevelM;
  if (!(fall.distanceM > 0) || !(drop > 0)) return null;
  const lengthM = Math.max(onwardsM, fall.distanceM);
  const level = (m: number) => rounded(fall.topLevelM - (drop * m) / fall.distanceM, 4);
  const chainages = fall.distanceM < lengthM ? [0, fall.distanceM, lengthM] : [0, lengthM];
  const track = chainages.map((chainageM) => ({ chainageM, levelM: level(chainageM) }));
  if (by.table === "local")
    return { track, table: by.table, rows: [...by.rows], ...(by.source.trim() ? { rowsSource: by.source.trim() } : {}), basis: "unproven" };
  return { track, table: by.table, ...(by.soil ? { soil: by.soil } : {}), basis: "unproven" };
}

/**
 * Twice the ± of the fall between two readings of a staff, each ±5 mm as package model takes them
 * (section.StaffPlusMinusM). What the tape adds is far less. Common practice, no source.
 */
const unsureM = 2 * Math.SQRT2 * 0.005;

/** The fall as gentle as its two readings leave room for. */
export const gentlest = (fall: Fall): Fall => ({ ...fall, hereLevelM: fall.hereLevelM + unsureM });

/** Where a plan has the next bank, and what the table says of the gentlest fall that was read there. */
export interface PlannedThere {
  readonly dueM: number; // from the last level
  readonly answer: WhoaBoys["output"] | undefined;
}

export interface BankAdvice {
  readonly state: "on" | "back" | "here";
  readonly words: string;
  readonly slopePct: number;
  readonly allowedM: number;
  readonly why: string;
}

/**
 * Where the next bank goes, seen from where the staff stands: on down the track, or back up it. A plan's
 * place stands unless the table forbids it for any fall that was read: a plan puts banks just where a row
 * of the table ends, and no staff tells on which side of the end it was read.
 */
export function bankAdvice(
  answer: WhoaBoys["output"],
  distanceM: number,
  by: string = answer.tableSource,
  planned?: PlannedThere,
): BankAdvice | null {
  const bank = answer.banks[0];
  if (!bank) return null;
  const closerM = Math.min(bank.allowedM, bank.otherAllowedM ?? Infinity);
  const allowedM = Math.max(closerM, planned?.answer?.banks[0]?.allowedM ?? 0);
  const byPlan = planned !== undefined && planned.dueM > 0 && planned.dueM <= allowedM + withinM;
  const goM = (byPlan ? planned.dueM : allowedM) - distanceM;
  const words =
    Math.abs(goM) <= withinM
      ? "Here: peg the whoa-boy"
      : goM > 0
        ? `Go ${Math.floor(goM)} m down the track`
        : `Come back ${Math.ceil(-goM)} m up the track`;
  const most = `The track falls ${bank.slopePct.toFixed(1)} %: whoa-boys at most ${Math.floor(allowedM)} m apart by ${by}`;
  return {
    state: Math.abs(goM) <= withinM ? "here" : goM > 0 ? "on" : "back",
    words,
    slopePct: bank.slopePct,
    allowedM,
    why:
      closerM < allowedM
        ? `${most}, or ${Math.floor(closerM)} m if it falls a little more: two rows of the table meet at this fall.`
        : `${most}.${bank.otherAllowedM !== undefined ? " The fall could be steeper than read, so the closer spacing is taken." : ""}${planned && !byPlan && planned.dueM > 0 ? ` The plan has it ${number(planned.dueM - allowedM, 1)} m farther: read the staff again, or look in the plan why.` : ""}`,
  };
}

const withinM = 1; // a pace: common practice, no source

export const nextBankName = (features: readonly Feature[]): string =>
  nextName(
    "Whoa-boy ",
    features.filter((f) => kindOf(f) === "whoa-boy").map((f) => textOf(f, "name")),
  );

/** What to ask of a bank farther down than the spacing allows; undefined for one that is not, and where no table is chosen. */
export function farQuestion(downM: number, advice: BankAdvice | null): { words: string; ifNot: string; yes: string } | undefined {
  const farM = advice && tooFarM(downM, advice);
  if (!advice || !farM) return undefined;
  return {
    words: `${downM} m is ${farM} m more than the ${Math.floor(advice.allowedM)} m allowed on this fall.`,
    ifNot: "Come back up the track, or peg it here.",
    yes: "Peg it here",
  };
}

/** How much farther down a bank is than the spacing allows, in metres; 0 where it is not. */
const tooFarM = (downM: number, { allowedM }: BankAdvice): number =>
  downM <= allowedM + withinM ? 0 : Math.round((downM - allowedM) * 10) / 10;

/** Why a bank stands where it does, to be read long after: what the table allowed, and by how much that was passed. */
export function spacedBy(downM: number, advice: BankAdvice): string {
  const farM = tooFarM(downM, advice);
  return farM ? `${advice.why} Pegged ${downM} m down, ${farM} m farther than that.` : advice.why;
}

/** What a bank is pegged by: the level of the ground there, and how far down it was taped. */
export interface PeggedBankBy {
  readonly run: string; // the level run, whose datum the level is on
  readonly levelM: number;
  readonly downM: number;
  readonly from: string; // the bank above, or the top of the slope; "" when it is not known
  readonly slopePct: number | undefined; // of the track in between, by the two levels and the tape
  readonly by: string | undefined; // the table and what it allowed
}

export function peggedBank(
  name: string,
  track: string,
  chainageM: number | undefined,
  by: PeggedBankBy,
  day: string,
  place: Fields,
): Fields {
  return { kind: "whoa-boy", name, ...bankPegged(track, chainageM, by, day, place) };
}

/** What pegging tells of a whoa-boy, also of one that was proposed. */
export function bankPegged(track: string, chainageM: number | undefined, by: PeggedBankBy, day: string, place: Fields): Fields {
  return {
    status: "pegged",
    peggedOn: day,
    observedOn: day,
    levelM: by.levelM,
    levelRun: by.run,
    fromAboveM: by.downM,
    fromAboveBasis: "taped",
    ...(by.from && { fromAboveTo: by.from }),
    ...(by.slopePct === undefined ? {} : { trackSlopePct: rounded(by.slopePct, 1) }),
    ...(by.by === undefined ? {} : { spacedBy: by.by }),
    ...(track ? { track } : {}),
    ...(track && chainageM !== undefined ? { chainageM, chainageBasis: "taped" } : {}), // both parts of it were taped
    ...place,
  };
}
