// Whoa-boys of a plan as a screen lists them. Pure.

import type { Types } from "../../compute/types/index.ts";
import { number } from "../../base/number.ts";

export type Spaced = Types["whoa-boys"]["output"];

export interface BankLine {
  readonly number: number;
  readonly chainage: string; // from the upper end
  readonly outlet: string;
  readonly spacing: string;
  readonly note: string;
}

/** Down the track, whichever way it was booked. */
export function bankLines({ banks, track }: Spaced): readonly BankLine[] {
  const first = track[0],
    last = track[track.length - 1];
  const up = first !== undefined && last !== undefined && first.levelM < last.levelM;
  const fromTopM = (m: number) => (up ? (last.chainageM ?? 0) - m : m);
  return banks
    .map((b) => ({ ...b, atM: fromTopM(b.chainageM) }))
    .sort((a, b) => a.atM - b.atM)
    .map((b, i) => ({
      number: i + 1,
      chainage: number(b.atM, 1),
      outlet: b.side === "either" ? "either side" : b.side,
      spacing: number(b.spacingM, 0),
      note: [b.tooFar && "farther than the table allows", b.why].filter(Boolean).join(": "),
    }));
}
