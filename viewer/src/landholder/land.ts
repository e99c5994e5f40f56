// What the server tells of a property to whoever holds its link: the shape of land.json.

import type { Geometry } from "../land/item.ts";
import type { Basis, Section } from "../section/section.ts";

export type { Basis, Section, SectionDam, SectionPair } from "../section/section.ts";
export { allStatuses, statuses, statusOf, type Geometry, type Position, type Status } from "../land/item.ts";

export interface Kind {
  name: string;
  label: string;
  plural: string;
  work: boolean;
  mark: string;
  colour: string;
  what?: string;
  care?: string;
}

export interface Figure {
  name: string;
  label: string;
  value: number;
  unit: string;
  /** One standard deviation in the figure's unit; negative when it is not known. */
  plusMinus?: number; // absent when not known
  basis: Basis;
}

export interface Photo {
  sha: string;
  on?: string;
}

export interface Work {
  id: string;
  kind: string;
  name?: string;
  status?: string;
  statusOn?: string;
  geometry: Geometry | null;
  figures: Figure[];
  facts: { label: string; text: string }[];
  checks: { verdict: string; text: string }[];
  cautions: string[];
  plain: string[];
  photos: Photo[];
}

export interface Other {
  id: string;
  kind: string;
  name?: string;
  geometry: Geometry | null;
  photos: Photo[];
}

export interface Land {
  property: { name: string };
  asOf: string;
  kinds: Kind[];
  works: Work[];
  others: Other[];
  sections: Section[];
  cautions: { name?: string; danger: string }[];
}

/** Takes an answer of the server for a Land, or null when it is something else. */
export function readLand(answer: unknown): Land | null {
  const land = answer as Partial<Land> | null;
  const lists = land && [land.kinds, land.works, land.others, land.sections, land.cautions];
  const whole = lists && lists.every(Array.isArray) && typeof land.property?.name === "string";
  return whole ? (land as Land) : null;
}

/** Kinds by name; a work whose row did not come is drawn plainly rather than lost. */
export function kindIndex(land: Land): (name: string) => Kind {
  const rows = new Map(land.kinds.map((k) => [k.name, k]));
  return (name) =>
    rows.get(name) ?? { name, label: name, plural: name, work: true, mark: "", colour: "#333333" };
}
