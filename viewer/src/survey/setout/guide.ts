// What to do with the staff, in words that can be read at arm's length. Pure. A reading
// that is too great means that the staff stands too low.

import type { Types } from "../../compute/types/index.ts";
import { rounded } from "../../base/number.ts";
import { compass } from "../../base/words.ts";

type StaffReading = Types["staff-reading"];

export interface Guide {
  readonly state: "none" | "up" | "down" | "hold";
  readonly words: string;
}

/**
 * What to do where the foot of the staff is offM above the level wanted, minus is below,
 * and toleranceM either way will do.
 */
export function guide(offM: number | undefined, toleranceM: number): Guide {
  if (offM === undefined) return { state: "none", words: "" };
  if (Math.abs(offM) <= toleranceM + 1e-9)
    return { state: "hold", words: offM === 0 ? "Hold: on the level" : `Hold: ${amount(offM)} ${offM > 0 ? "high" : "low"}` };
  return offM < 0 ? { state: "up", words: `Go up ${amount(offM)}` } : { state: "down", words: `Go down ${amount(offM)}` };
}

/** What to ask of a peg that is off the level called for; undefined for one that is not, or for which none is. "whose" is the level's owner. */
export function offQuestion(
  offM: number | undefined,
  toleranceM: number,
  whose: string,
): { words: string; ifNot: string; yes: string } | undefined {
  if (offM === undefined || Math.abs(offM) <= toleranceM + 1e-9) return undefined;
  return {
    words: `${amount(offM)} too ${offM > 0 ? "high" : "low"} for ${whose}, where ${toleranceM.toFixed(2)} m is allowed.`,
    ifNot: "Move the staff, or peg it here.",
    yes: "Peg it here",
  };
}

/** What to ask of a reading that was not keyed just now; undefined for one that was. */
export function oldQuestion(reading: string, keptFrom: string): { words: string; ifNot: string; yes: string } | undefined {
  return keptFrom === ""
    ? undefined
    : {
        words: `${reading} m was keyed ${keptFrom === "earlier" ? keptFrom : `at ${keptFrom}`}.`,
        ifNot: "If the staff stands elsewhere now, key what it shows.",
        yes: `The staff shows ${reading} m now`,
      };
}

/** What to ask of a peg while the newest fixes lie elsewhere than those before. */
export const settlingQuestion = {
  words: "GPS has jumped and is still settling.",
  ifNot: "Wait a few seconds and press again.",
  yes: "Save it at the place before the jump",
};

/** "0.19 m", and to the millimetre where a centimetre is much of it. */
export function amount(m: number): string {
  const size = Math.abs(m);
  const decimals = size < 0.0995 ? 3 : 2;
  return `${(Math.round(size * 10 ** decimals + 1e-6) / 10 ** decimals).toFixed(decimals)} m`;
}

/**
 * What to ask of staff-reading. A direct-reading staff, which shows how much higher the
 * ground is than the line it was zeroed on, is an ordinary one seen from a line so much
 * higher that no reading is below nought.
 */
export function askReading(sightM: number, targetM: number, read: number | undefined, direct: boolean): StaffReading["input"] {
  const lift = direct ? directM : 0;
  return {
    instrumentLevelM: sightM + lift,
    targetLevelM: targetM,
    staffLengthM: direct ? 2 * directM : staffM,
    ...(read === undefined ? {} : { readM: direct ? rounded(lift - read, 4) : read }),
  };
}

/** What the officer should read, on the staff there is. */
export const wantedReading = (answer: StaffReading["output"], direct: boolean): number =>
  direct ? rounded(directM - answer.readingM, 4) : answer.readingM;

const staffM = 5; // the usual staff: common practice, no source
const directM = 5; // the most that a direct-reading staff shows either way

/** The way to where a peg is due. */
export interface Way {
  readonly words: string;
  /** To be drawn, where receiver and line can say so much: the bearing from true north is undefined when she is there. */
  readonly arrow?: { readonly bearingDeg: number | undefined; readonly distance: string };
}

/** How far off a target is, and how well receiver and line can say so. */
export function wayTo(before: string, distanceM: number, bearingDeg: number, accuracyM: number): Way {
  const words = `${before} ${wayWords(distanceM, compass(bearingDeg), accuracyM)}.`;
  const there = accuracyM >= distanceM;
  return { words, arrow: { bearingDeg: there ? undefined : bearingDeg, distance: there ? "here" : metresAway(distanceM) } };
}

const metresAway = (m: number): string => `${m < 9.5 ? Math.round(m * 2) / 2 : Math.round(m)} m`;

function wayWords(distanceM: number, direction: string, accuracyM: number): string {
  const about = `${metresAway(distanceM)} ${direction}`;
  const plusMinus = `±${Math.max(1, Math.ceil(accuracyM))} m by GPS`;
  return accuracyM >= distanceM
    ? `Within ${Math.ceil(Math.max(accuracyM, distanceM))} m: pace it, ${plusMinus}`
    : accuracyM > distanceM / 3
      ? `About ${about}: pace it, ${plusMinus}`
      : `${about}, ${plusMinus}`;
}
