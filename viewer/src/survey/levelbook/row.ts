// A line of a level book, as package model has it: the same names, in the same metres.

import type { Feature } from "../../base/entry.ts";

export interface Row {
  readonly point: string;
  readonly bs?: number;
  readonly is?: number;
  readonly fs?: number;
  readonly knownLevelM?: number;
  readonly distanceM?: number; // along the levelled route from its start
  readonly inverted?: boolean; // staff upside down on an overhead point
  readonly remark?: string;
  readonly struck?: boolean; // ruled through: kept, not reduced
  readonly bookedLevelM?: number;
  readonly feature?: string; // id of what the staff stood on
  readonly spot?: Spot;
  readonly chainageM?: number;
  readonly offsetM?: number; // of a point of a cross-section, from the thalweg: left negative, looking downstream
}

/** The column that a reading is booked in. */
export type Cell = "bs" | "is" | "fs";

export type Spot = "bed" | "toe" | "crest" | "peg" | "mark" | "section";

export const cellWords: { readonly [cell in Cell]: string } = { bs: "Backsight", is: "Intermediate sight", fs: "Foresight" };

/** What the staff stands on: a thing of the property, and which part of it. */
export interface Stand {
  readonly feature: string;
  readonly name: string; // as the officer calls it
  readonly spot: Spot;
  readonly lengthM?: number; // of its line as it was recorded
  readonly marked?: boolean; // it is a cross-section: where it lies along the gully is its own
}

const spots: { readonly [kind: string]: readonly Spot[] } = {
  thalweg: ["bed", "section"],
  "cross-section": ["section"],
  "check-dam": ["toe", "crest"],
  "rip-line": ["peg"],
  windrow: ["peg"],
  "whoa-boy": ["peg"],
  track: ["peg"],
  fence: ["peg"],
  scald: ["peg"], // down its slope, for banks
  catchment: ["peg"],
  "gully-head": ["peg"],
  "diversion-bank": ["peg"],
  "contour-bank": ["peg"],
  benchmark: ["mark"],
};

/** The parts of a kind on which levels are wanted; none for kinds that are not levelled. */
export const spotsOf = (kind: string): readonly Spot[] => spots[kind] ?? [];

/** Whether readings there need their distance along the thing. */
export const wantsChainage = ({ spot, marked }: Pick<Stand, "spot" | "marked">): boolean =>
  spot === "bed" || spot === "peg" || (spot === "section" && !marked);

/** The farthest offset that the register takes. */
export const mostOffsetM = 500;

/** Which side of the thalweg an offset is on, looking downstream. */
export const sideOf = (offsetM: number): string => (offsetM < 0 ? "left" : offsetM > 0 ? "right" : "on the thalweg");

/** "2.5 m left". */
export const offsetWords = (offsetM: number): string => (offsetM === 0 ? sideOf(0) : `${Math.abs(offsetM)} m ${sideOf(offsetM)}`);

/** The rows that are not struck out, with their places in the book. */
export function live(rows: readonly Row[]): { readonly row: Row; readonly at: number }[] {
  return rows.flatMap((row, at) => (row.struck ? [] : [{ row, at }]));
}

/** Whether no row that stands comes before a place in the book: a run begins there. */
export const beginsAt = (rows: readonly Row[], at: number): boolean => live(rows.slice(0, at)).length === 0;

/** The rows of a level run's feature; what is no row is left aside. */
export function rowsOf(feature: Feature): readonly Row[] {
  const rows = feature.fields["rows"];
  return Array.isArray(rows)
    ? rows.filter((r): r is Row => typeof r === "object" && r !== null).map((r) => (typeof r.point === "string" ? r : { ...r, point: "" }))
    : [];
}
