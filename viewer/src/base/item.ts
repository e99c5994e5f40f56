// What is drawn on a map of land, whichever page draws it.

import type { Feature } from "./entry.ts";

export const statuses = ["proposed", "pegged", "built", "failed", "removed"] as const;
/** How far a work has come; "unsaid" where nobody recorded it. */
export type Status = (typeof statuses)[number] | "unsaid";
export const allStatuses: readonly Status[] = [...statuses, "unsaid"];

export function statusOf(work: { status?: string }): Status {
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

/** Longitude and latitude in degrees, WGS84. */
export type Position = readonly [number, number];

export type Geometry =
  | { type: "Point"; coordinates: Position }
  | { type: "MultiPoint" | "LineString"; coordinates: readonly Position[] }
  | { type: "MultiLineString" | "Polygon"; coordinates: readonly (readonly Position[])[] }
  | { type: "MultiPolygon"; coordinates: readonly (readonly (readonly Position[])[])[] }
  | { type: "GeometryCollection"; geometries: readonly Geometry[] };

export const geometryOf = (f: Feature) => (f.fields["geometry"] as Geometry | null | undefined) ?? undefined;

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
