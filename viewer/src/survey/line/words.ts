// How a recording is told.

import { withPlusMinus } from "../../base/number.ts";
import { count, distance } from "../../base/words.ts";
import { type Recording, spotsOf } from "./recording.ts";
import type { Measured } from "./measure.ts";

/** "132.4 ± 6.1 m": as many decimals as the doubt deserves. */
export function lengthWords({ lengthM, lengthPlusMinusM: doubt, proven }: Measured): string {
  if (!proven) return `about ${Math.round(lengthM)} m`;
  return doubt === undefined ? `${lengthM.toFixed(0)} m` : `${withPlusMinus(lengthM, doubt, 2)} m`;
}

/** "0.45 ± 0.03 ha", square metres below a quarter of a hectare. */
export function areaWords({ areaM2, areaPlusMinusM2: doubt }: Measured): string {
  if (areaM2 === undefined) return "";
  const [by, unit] = areaM2 < 2500 ? [1, "m²"] : [10_000, "ha"];
  return `${doubt === undefined ? (areaM2 / by).toFixed(by === 1 ? 0 : 2) : withPlusMinus(areaM2 / by, doubt / by, 2)} ${unit}`;
}

/** What closing the boundary would make of it: how much it adds, and what it encloses; "" where it cannot be told. */
export function closingWords({ lengthM, ifClosed }: Measured): string {
  if (ifClosed?.areaM2 === undefined) return "";
  return `Joining the ends adds ${distance(Math.max(0, ifClosed.lengthM - lengthM))}: perimeter ${lengthWords(ifClosed)}, area ${areaWords(ifClosed)}`;
}

export function stateWords(recording: Recording): string {
  const n = spotsOf(recording).length;
  const gaps = recording.gaps.filter((g) => g.why !== "split").length;
  const many = count(n, "point", "points") + (gaps ? `, ${count(gaps, "gap", "gaps")}` : "");
  if (recording.closed) return `Closed, ${many}`;
  if (recording.walk === "on")
    return recording.pending?.why === "hidden" || recording.pending?.why === "closed"
      ? "Not recording: waiting for a position"
      : `Walking, ${many}`;
  if (recording.walk === "paused") return `Paused, ${many}`;
  return n ? many : "Nothing recorded yet";
}
