// What came of works, in lines for a screen. Pure.

import { kindNamed } from "../../base/kinds.ts";
import { called, count, day } from "../../base/words.ts";
import type { Named } from "../../compute/named.ts";
import type { Age, Change, Edge, Found, Growth, Head, Held, Noise, Retreat, Spending, Spent } from "../../compute/followup.ts";
import type { Figure } from "../../compute/sheets.ts";
import { figureText } from "../item/facts.ts";

/** Something that was followed up: what it is, in a line or more. */
export interface Followed {
  readonly feature: string; // "": works of a kind together
  readonly name: string;
  readonly lines: readonly string[];
}

const noise: { readonly [answer in Noise]: string } = {
  yes: "more than measurement error",
  no: "no more than measurement error",
  "cannot tell": "whether it changed cannot be said: the ± is not known",
};

const named = (n: Named): string => called(n.name ?? "", kindNamed(n.kind).label);

const figureWords = (f: Figure): string => figureText(f).value;

export const headLines = (h: Head): Followed => overYears(h, h.since, h.last, h.why, retreatWords);
export const edgeLines = (e: Edge): Followed => overYears(e, e.since, e.last, e.why, growthWords);

function overYears<T>(of: Named, since: T | undefined, last: T | undefined, why: string | undefined, words: (t: T) => string): Followed {
  const lines = since ? [words(since), ...(last ? [`Of that ${words(last)}`] : [])] : [why ?? ""];
  return { feature: of.feature, name: named(of), lines };
}

function retreatWords(r: Retreat): string {
  const taped = r.retreat.basis === "taped",
    down = taped && r.retreat.value < 0;
  const gone = figureWords(down ? { ...r.retreat, value: -r.retreat.value } : r.retreat);
  const way = down ? "down the gully" : taped ? "up the gully" : "from where it was";
  return `${gone} ${way} ${between(r)}, ${r.retreat.basis}${r.rate ? `, ${figureWords(r.rate)}` : ""}: ${noise[r.moreThanNoise]}`;
}

function growthWords(g: Growth): string {
  return `${figureWords(g.growth)} more ${between(g)}, ${g.growth.basis}${g.rate ? `, ${figureWords(g.rate)}` : ""}: ${noise[g.moreThanNoise]}`;
}

const between = ({ from, to }: { readonly from: string; readonly to: string }) => `from ${day(from)} to ${day(to)}`;

export function changeLines(c: Change): Followed {
  const sign = c.change.value > 0 ? "+" : "";
  const reading = (r: Change["before"]) => `${figureWords(r)} on ${day(r.on)}`;
  return {
    feature: c.feature,
    name: named(c),
    lines: [`${sign}${figureWords(c.change)}, ${noise[c.moreThanNoise]}`, `${reading(c.before)}; ${reading(c.after)}`, ...c.notes],
  };
}

/** "3 sound, 1 failed"; "" where none was judged. */
export const foundWords = ({ sound, healed, needsWork, failed }: Found): string =>
  [sound && `${sound} sound`, healed && `${healed} healed`, needsWork && `${needsWork} needs work`, failed && `${failed} failed`]
    .filter(Boolean)
    .join(", ");

export function heldLines(h: Held): Followed {
  const judged = h.sound + h.healed + h.needsWork + h.failed;
  const name = kindNamed(h.kind).plural + (h.material ? ` of ${h.material}` : "");
  return { feature: "", name, lines: [judged ? `${h.built} built, ${judged} judged: ${foundWords(h)}` : `${h.built} built, none judged`] };
}

/** What works took to build, by kind and together, each sum with how many works it is of. */
export function spentLines({ kinds, together, currency }: Spending): readonly Followed[] {
  const sum = (amount: number | undefined, of: number, built: number, unit: string, what: string) => {
    if (amount === undefined) return `${what} not recorded`;
    return `${amount.toFixed(2)} ${unit}${of < built ? `, recorded of ${of}` : ""}`;
  };
  const words = (s: Spent) =>
    `${s.built} built: ${sum(s.hours, s.timed, s.built, "h", "hours")}; ${sum(s.cost, s.paid, s.built, currency ?? "in units not recorded", "cost")}`;
  const all = kinds.map((k) => ({ feature: "", name: kindNamed(k.kind ?? "").plural, lines: [words(k)] }));
  return kinds.length > 1 ? [...all, { feature: "", name: "Together", lines: [words(together)] }] : all;
}

export const ageLines = (a: Age): Followed => ({
  feature: "",
  name: `${kindNamed(a.kind).plural} after ${count(a.wetSeasons, "wet season", "wet seasons")}`,
  lines: [foundWords(a)],
});
