// Whoa-boys that are proposed on a track and not pegged yet: which is next down it, and how far
// a peg stands off the plan. Pure.

import { type Feature, kindOf, numberOf, textOf } from "../../base/entry.ts";
import { ownNameOf } from "../../base/names.ts";
import { number } from "../../base/number.ts";

export interface PlannedBank {
  readonly feature: Feature;
  readonly name: string;
  readonly chainageM: number | undefined; // from the upper end
}

/** The proposed whoa-boys of a track or fence, the uppermost first; those whose place nobody knows last. */
export const plannedOn = (track: string, features: readonly Feature[]): readonly PlannedBank[] =>
  features
    .filter((f) => kindOf(f) === "whoa-boy" && !f.struck && textOf(f, "status") === "proposed" && textOf(f, "track") === track)
    .map((feature) => ({ feature, name: ownNameOf(feature), chainageM: numberOf(feature, "chainageM") }))
    .sort((a, b) => (a.chainageM ?? Infinity) - (b.chainageM ?? Infinity) || a.name.localeCompare(b.name, undefined, { numeric: true }));

/** The uppermost below the last level; of all, where nobody taped how far down that is. */
export const nextBankPlanned = (planned: readonly PlannedBank[], lastM: number | undefined): PlannedBank | undefined =>
  planned.find(({ chainageM }) => lastM === undefined || (chainageM !== undefined && chainageM > lastM));

/** "planned at chainage 27.4" */
export const bankPlannedWords = ({ chainageM }: PlannedBank): string =>
  chainageM === undefined ? "planned" : `planned at chainage ${number(chainageM, 1)}`;

/** How a peg stands off the plan; "" where nothing tells. */
export function bankOffPlan({ chainageM }: PlannedBank, atM: number | undefined): string {
  if (chainageM === undefined || atM === undefined) return "";
  const onM = atM - chainageM;
  return Math.abs(onM) < 0.05 ? "as planned" : `${number(Math.abs(onM), 1)} m farther ${onM > 0 ? "down" : "up"} than planned`;
}
