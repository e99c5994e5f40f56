// How old a fix is. A phone may hand out its last known position as if it were new, and its
// clock may differ from the receiver's by hours, or be set while the page is open. So a
// fix's time is compared with those of the fixes before it, on a clock that never jumps.

export interface Clocks {
  /** What the page's steady clock showed less the fix's time, when there was least delay; 0 to begin with. */
  readonly apartMS: number;
  readonly last: { readonly atMS: number; readonly apartMS: number } | null;
}

export const noClocks: Clocks = { apartMS: 0, last: null };

/** A fix older than this is not of where the officer stands: at a walk it is some 20 m behind. */
export const oldMS = 15_000;
/** One no older is where the officer stands, even at a walk: some 6 m. Common practice, no source. */
export const freshMS = 5_000;

/** A clock that is never set: the same on all fixes of one page. */
export const steadyMS = (): number => performance.timeOrigin + performance.now();

export const isFresh = (fix: { readonly takenMS: number }): boolean => steadyMS() - fix.takenMS <= freshMS;

/** Delays of live fixes differ by less. Common practice, no source. */
const jitterMS = 3_000;

/** The age of a fix heard at a time of the steady clock, and what is known of the clocks then. */
export function age({ apartMS: known, last }: Clocks, atMS: number, heardMS: number): { clocks: Clocks; ageMS: number } {
  const apartMS = heardMS - atMS;
  // Fixes that follow each other as fast as they are heard are live, however far apart the clocks are.
  const steady = last !== null && Math.abs(apartMS - last.apartMS) < Math.min(jitterMS, (atMS - last.atMS) / 2);
  // No fix comes from the future: an earlier zero was of clocks set otherwise.
  const zero = steady ? Math.min(apartMS, last.apartMS) : Math.min(apartMS, known);
  return { clocks: { apartMS: zero, last: { atMS, apartMS } }, ageMS: apartMS - zero };
}
