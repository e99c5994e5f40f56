// What was recorded today on this phone: pure.

import { kindOf, settingsKind, type Feature } from "../entry.ts";

/** When the newest entry about a feature was made, by its stamp. */
export const stampedAt = (f: Feature): Date => new Date(Number.parseInt(f.stamp.slice(0, 12), 16));

/** Features with an entry of this device made on the day of now, newest first. */
export function today(features: readonly Feature[], device: string, now: Date): readonly Feature[] {
  const day = now.toDateString();
  return features
    .filter((f) => (f.unsent > 0 || f.saw[device] !== undefined) && stampedAt(f).toDateString() === day && kindOf(f) !== settingsKind)
    .sort((a, b) => (a.stamp < b.stamp ? 1 : a.stamp > b.stamp ? -1 : 0));
}
