// How a marked point gets its position: pure. The receiver's mean grows better while the
// form is open; what is stored is the best of it, with its accuracy.

import { commonFields } from "../../base/kinds.ts";
import type { Fields } from "../../base/entry.ts";
import type { Fix } from "../../sensor/fix.ts";
import { metresBetween } from "../../base/plane.ts";

/** Beyond this a position is told to be poor. Common practice, no source. */
export const poorM = 10;
/** Beyond this a position is not stored unless the officer says so. Common practice, no source. */
export const refusedM = 50;

/** Beyond this the server takes no position, as it is none. */
const mostM = commonFields.find((f) => f.name === "accuracyM")!.max!;

export type Worth = "none" | "good" | "poor" | "refused";

export function worthOf(fix: Fix | null): Worth {
  if (!fix || fix.accuracyM > mostM) return "none";
  return fix.accuracyM > refusedM ? "refused" : fix.accuracyM > poorM ? "poor" : "good";
}

export interface Placing {
  readonly mean: Fix | null; // the best the receiver has given here
  readonly stored: Fix | null; // what the last entry says
  readonly anyway: boolean; // the officer takes a position that would be refused
  readonly left: boolean; // the phone has been carried off: what it gives is of another place
  readonly jumpedM: number | null; // how far GPS corrected itself after the position was saved
}

export const unplaced: Placing = { mean: null, stored: null, anyway: false, left: false, jumpedM: null };

export type Placed = { readonly do: "mean"; readonly mean: Fix } | { readonly do: "stored"; readonly fix: Fix } | { readonly do: "anyway" };

export function place(p: Placing, action: Placed): Placing {
  switch (action.do) {
    case "mean":
      if (p.left) return p;
      if (!p.stored || !isElsewhere(p.stored, action.mean)) return { ...p, mean: action.mean };
      return action.mean.jumped
        ? { ...p, mean: action.mean, jumpedM: metresBetween(p.stored, action.mean) }
        : { ...p, left: true, mean: p.stored };
    case "stored":
      return { ...p, stored: action.fix };
    case "anyway":
      return { ...p, anyway: true };
  }
}

const isElsewhere = (stored: Fix, mean: Fix): boolean => metresBetween(stored, mean) > Math.max(8, 2 * stored.accuracyM);

/** The position that the next save stores: none where there is none yet, it is refused, or the one stored is as good. */
export function toStore(p: Placing): Fix | null {
  const worth = worthOf(p.mean);
  if (!p.mean || worth === "none" || (worth === "refused" && !p.anyway)) return null;
  if (p.stored && !isElsewhere(p.stored, p.mean) && p.mean.accuracyM > 0.9 * p.stored.accuracyM) return null; // not worth an entry
  return p.mean;
}

/** What is stored without waiting for a save, as the phone may die before: the first position, and one that GPS corrected. */
export const toStoreNow = (p: Placing): Fix | null => (!p.stored || (p.mean && isElsewhere(p.stored, p.mean)) ? toStore(p) : null);

/** The fields that say where a thing is. The height is a label, never a level. */
export function placeFields(fix: Fix): Fields {
  return {
    geometry: { type: "Point", coordinates: [degrees(fix.lon), degrees(fix.lat)] },
    accuracyM: Math.round(fix.accuracyM * 10) / 10,
    positionBasis: "GPS",
    ...(fix.heightM === undefined ? {} : { gpsHeightM: Math.round(fix.heightM * 10) / 10 }),
  };
}

/** To 1e-8 of a degree, about a millimetre: no receiver in a phone knows more. */
const degrees = (v: number) => Math.round(v * 1e8) / 1e8;
