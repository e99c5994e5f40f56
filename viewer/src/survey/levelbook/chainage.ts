// Chainages of a gully as they are booked and up it: as the model matched them. Pure.

import type { LongSection } from "../../compute/sheets.ts";
import { rounded } from "../../base/number.ts";
import type { Section } from "../../section/section.ts";

type Matched = Pick<LongSection, "bookedFromM" | "line">;
type Levelled = Matched & Pick<LongSection, "bed">;

/** A booked chainage up the gully from its downstream end, or the other way round: the same step takes both. */
export const upOrBooked = (chainageM: number, of: Matched | undefined): number =>
  of?.bookedFromM === undefined ? chainageM : rounded(of.bookedFromM - chainageM, 3);

/** From which end the chainages of a gully were booked; "" while nothing tells. */
export const countsFrom = (of: Levelled | null | undefined): string =>
  of?.bookedFromM !== undefined ? "from the head" : of && of.bed.length > 1 ? "from the downstream end" : "";

const lengthM = (bed: Levelled["bed"]): number => (bed.length > 0 ? bed[bed.length - 1]!.chainageM - bed[0]!.chainageM : 0);

/**
 * A section as it was booked, with its chainages up the gully from its downstream end, and
 * whether they are still as booked because nothing tells which end they count from. The
 * longer bed tells: that of the gully from all its level runs, or the book's own, alone, as
 * long-section answered of it; undefined where that was refused.
 */
export function upGully(
  section: Section,
  own: { readonly turnedAtM?: number } | undefined,
  gully: Levelled | null | undefined,
): { readonly section: Section; readonly asBooked: boolean } {
  const whole = gully && countsFrom(gully) !== "" && lengthM(gully.bed) >= lengthM(section.bed);
  const asBooked = !whole && own === undefined;
  const fromM = whole ? gully.bookedFromM : own?.turnedAtM;
  if (fromM === undefined) return { section, asBooked };
  const of = { bookedFromM: Math.max(fromM, section.bed[section.bed.length - 1]?.chainageM ?? fromM) };
  const up = <T extends { chainageM: number }>(one: T): T => ({ ...one, chainageM: upOrBooked(one.chainageM, of) });
  const note = `Booked from the head down and turned here: chainage 0 is the downstream end, ${of.bookedFromM} m as booked.`;
  return {
    section: { ...section, bed: section.bed.map(up).reverse(), dams: section.dams.map(up), notes: [...section.notes, note] },
    asBooked,
  };
}
