// What a computation refused, as a sentence for the officer. Pure.

import type { Problem } from "../field.ts";

/** What is wrong, and what to do. */
export function inWords({ path, reason, fix }: Problem): string {
  const all = [path === "track" ? `the track ${reason}` : reason, fix].filter(Boolean).join(": ");
  return `${all.slice(0, 1).toUpperCase()}${all.slice(1)}${/[.?!]$/.test(all) ? "" : "."}`;
}
