// What is drawn on a map of land, whichever page draws it.

export const statuses = ["proposed", "pegged", "built", "failed", "removed"] as const;
/** How far a work has come; "unsaid" where nobody recorded it. */
export type Status = (typeof statuses)[number] | "unsaid";
export const allStatuses: readonly Status[] = [...statuses, "unsaid"];

export function statusOf(work: { status?: string | undefined }): Status {
  return statuses.find((s) => s === work.status) ?? "unsaid";
}

/** A status as people read it. */
export const statusWords: Record<Status, string> = {
  proposed: "Proposed",
  pegged: "Pegged",
  built: "Built",
  failed: "Failed",
  removed: "Removed",
  unsaid: "Not recorded",
};

/** As much of a kind's row as drawing needs. */
export interface DrawnKind {
  readonly name: string;
  readonly mark?: string; // SVG path in a 24 by 24 box
  readonly colour: string;
}

/** At most so many letters, for places where a name must not push the rest aside. */
export function shortened(name: string, letters: number): string {
  const all = Array.from(name.trim());
  return all.length <= letters
    ? all.join("")
    : `${all
        .slice(0, letters - 1)
        .join("")
        .trimEnd()}…`;
}
