// The hybrid logical clock of sync/register: 48 bits of milliseconds since 1970 and a
// counter of 16 bits, written as 16 hexadecimal digits, which sort as stamps do.

export const noStamp = "0000000000000000";

/** How far ahead of its arrival a stamp counts, in milliseconds, as sync/register has it. */
const leadAllowedMS = 5 * 60_000;

/** The stamp for an event now that comes after last, the greatest that is known of the feature. */
export function nextStamp(last: string, nowMS: number): string {
  const now = stampAt(nowMS);
  if (now > last) return now;
  return (BigInt(`0x${last}`) + 1n).toString(16).padStart(16, "0");
}

/** Whether an entry that arrived then counts with its stamp as it is. */
export function countsAsIs(stamp: string, arrivedMS: number): boolean {
  return stamp <= stampAt(arrivedMS + leadAllowedMS);
}

function stampAt(ms: number): string {
  return Math.max(0, Math.floor(ms)).toString(16).padStart(12, "0") + "0000";
}
