// How far a gully head has cut back, by the computation "retreat" of package model, and its
// words. Taped offsets from a hub peg are compared with each other, and fixes with each
// other; a day counts once, with what was measured last. Pure.

import type { Basis } from "../../base/basis.ts";
import { withPlusMinus } from "../../base/number.ts";
import type { Types } from "../../compute/types/index.ts";
import { day } from "../../base/words.ts";
import { numberOf, placeOf, textOf, type Feature } from "../../base/entry.ts";
import { basisOfPlace, lastOf, type PastVisit } from "./visits.ts";
import type { Months } from "./season.ts";

export type RetreatInput = Types["retreat"]["input"];
export type Retreat = Types["retreat"]["output"];
type HeadVisit = RetreatInput["visits"][number];

/** What is being measured now. */
export interface Measured {
  readonly on: string;
  readonly headOffsetM?: number;
  readonly head?: PastVisit["head"];
}

/** Undefined while there is nothing to compare with. The tape goes before the fix. */
export function retreatInput(thing: Feature, visits: readonly PastVisit[], now: Measured, wetSeason?: Months): RetreatInput | undefined {
  const all: readonly Measured[] = [...visits.filter((v) => v.on !== ""), now];
  const measured = now.headOffsetM !== undefined ? all.flatMap(taped) : now.head ? [...first(thing), ...all.flatMap(placed)] : [];
  const byDay = new Map(measured.map((v) => [v.date, v])); // the last of a day stays
  return byDay.size < 2 ? undefined : { visits: [...byDay.values()], ...(wetSeason && { wetSeason }) };
}

const taped = (m: Measured): HeadVisit[] => (m.headOffsetM === undefined ? [] : [{ date: m.on, offsetM: m.headOffsetM }]);

const placed = (m: Measured): HeadVisit[] => (m.head ? [headVisit(m.on, m.head)] : []);

/** Where the head was when it was marked. */
function first(thing: Feature): HeadVisit[] {
  const place = placeOf(thing);
  const on = textOf(thing, "observedOn");
  return place?.type === "Point" && on !== ""
    ? [headVisit(on, { position: place.coordinates, accuracyM: numberOf(thing, "accuracyM"), ...basisOfPlace(thing) })]
    : [];
}

function headVisit(
  date: string,
  { position, accuracyM, basis }: { position: readonly [number, number]; accuracyM?: number | undefined; basis?: Basis },
): HeadVisit {
  return {
    date,
    position: [position[0], position[1]],
    ...(accuracyM === undefined ? {} : { accuracyM }),
    ...(basis === undefined ? {} : { basis }),
  };
}

const figure = (m: number): string => Math.abs(m).toFixed(2);
const metres = (m: number): string => `${figure(m)} m`;

export function retreatWords(r: Retreat): { moved: string; sure: string; rate: string } {
  const last = lastOf(r.steps) ?? r;
  const length = last.plusMinusM !== undefined ? `${withPlusMinus(Math.abs(last.retreatM), last.plusMinusM)} m` : metres(last.retreatM);
  const way = last.retreatM < 0 ? "down the gully" : r.basis !== "taped" && !r.trend ? "from where it was" : "back";
  const least = last.leastProvableM !== undefined ? ` Less than ${metres(last.leastProvableM)} is too small to detect.` : "";
  const sure = {
    yes: "More than measurement error.",
    no: "No more than measurement error: this does not show that it moved.",
    "cannot tell": "Whether it moved cannot be said: the accuracy of the fixes is not known.",
  };
  const overall = r.steps.length > 1 ? `Since ${day(r.from)} ${metres(r.retreatM)}, ${r.rateMPerYear.toFixed(2)} m a year.` : "";
  return { moved: `${length} ${way} since ${day(last.from)}`, sure: sure[last.moreThanNoise] + least, rate: overall };
}
