// A layout of dams as a screen shows it: heights side by side, the long section, and dam by dam. Pure.

import type { Outcome } from "../../compute/plan.ts";
import type { LongSection } from "../../compute/sheets.ts";
import type { Types } from "../../compute/types/index.ts";
import { count } from "../../base/words.ts";
import { number } from "../../base/number.ts";
import type { Section, SectionDam } from "../../section/section.ts";
import { upOrBooked } from "../levelbook/chainage.ts";

export type Layout = Types["dam-layout"]["output"];

/** "0.3 m: 14 dams", for each height that can be planned; the one of the plan among them. */
export function heightChoices(compared: Outcome["beside"], shown: Layout): readonly { readonly value: string; readonly label: string }[] {
  const laid = new Map(
    (compared ?? []).flatMap(({ heightM, count }) => (heightM === undefined || count === undefined ? [] : [[heightM, count]])),
  );
  laid.set(shown.crestHeightM, shown.count);
  return [...laid]
    .sort(([a], [b]) => a - b)
    .map(([m, dams]) => ({ value: String(m), label: `${m}\u00a0m: ${count(dams, "dam", "dams").replace(" ", "\u00a0")}` }));
}

/**
 * The bed as it was planned on, with the dams that stand and those planned. Dams proposed
 * before are left out: adopting edits them, or says that they are not in this layout.
 */
export function plannedSection(layout: Layout, gully: LongSection | null, thalweg: string, standing: readonly SectionDam[]): Section {
  const proven = layout.basis === "levelled";
  const bed = layout.bed.flatMap(({ chainageM, levelM }) => (chainageM === undefined ? [] : [{ chainageM, levelM }]));
  const basis: SectionDam["basis"] = proven ? "levelled" : "unproven";
  const planned = layout.dams.map((d, i) => ({
    id: `planned ${i + 1}`,
    name: String(i + 1),
    status: "proposed",
    chainageM: d.chainageM,
    toeLevelM: d.bedLevelM,
    crestLevelM: d.crestLevelM,
    basis,
  }));
  const first = bed[0]?.chainageM ?? 0,
    last = bed[bed.length - 1]?.chainageM ?? 0;
  return {
    thalweg,
    ...(gully?.name === undefined ? {} : { name: gully.name }),
    lengthM: last - first,
    proven,
    bed,
    dams: [...standing.filter((d) => d.status !== "proposed" && d.chainageM >= first && d.chainageM <= last), ...planned],
    pairs: [],
    notes: [],
  };
}

export interface DamLine {
  readonly number: number;
  readonly chainage: string; // as the gully is booked
  readonly toe: string;
  readonly crest: string;
  readonly note: string; // why it stands there, where that is not the crest below
}

export const damLines = ({ dams, turnedAtM }: Layout): readonly DamLine[] =>
  dams.map((d, i) => ({
    number: i + 1,
    chainage: number(upOrBooked(d.chainageM, turnedAtM === undefined ? undefined : { bookedFromM: turnedAtM }), 1),
    toe: number(d.bedLevelM, 2),
    crest: number(d.crestLevelM, 2),
    note: ["first", "level with the crest below"].includes(d.stands) ? "" : d.stands,
  }));
