// Chainages of a gully as they are booked, up it, and along its line: as the model matched
// them. Pure.

import type { LongSection } from "../app/parts.ts";

type Matched = Pick<LongSection, "bookedFromM" | "line">;

/** A booked chainage up the gully from its downstream end, or the other way round: the same step takes both. */
export const upOrBooked = (chainageM: number, of: Matched | undefined): number =>
  of?.bookedFromM === undefined ? chainageM : Math.round((of.bookedFromM - chainageM) * 1000) / 1000;

/** How far along the line as drawn a chainage up the gully lies; undefined where nobody knows which way it was drawn. */
export const alongLine = (upM: number, of: Matched | undefined): number | undefined => of?.line && (of.line.down ? of.line.atFirstM - upM : upM - of.line.atFirstM);
