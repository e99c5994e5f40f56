// What the server tells of a property to whoever holds its link: the shape of land.json.

export const statuses = ["proposed", "pegged", "built", "failed", "removed"] as const;
/** How far a work has come; "unsaid" where nobody recorded it. */
export type Status = (typeof statuses)[number] | "unsaid";
export const allStatuses: readonly Status[] = [...statuses, "unsaid"];

export type Basis = "levelled" | "taped" | "GPS" | "unproven";
export type Position = readonly [number, number];

export type Geometry =
  | { type: "Point"; coordinates: Position }
  | { type: "MultiPoint" | "LineString"; coordinates: readonly Position[] }
  | { type: "MultiLineString" | "Polygon"; coordinates: readonly (readonly Position[])[] }
  | { type: "MultiPolygon"; coordinates: readonly (readonly (readonly Position[])[])[] }
  | { type: "GeometryCollection"; geometries: readonly Geometry[] };

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
  plusMinus: number;
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

export interface SectionDam {
  id: string;
  name?: string;
  status?: string;
  chainageM: number;
  toeLevelM: number | null;
  crestLevelM: number | null;
  /** As written down by hand, for dams that were not levelled. */
  heightM: number | null;
  basis: Basis;
}

export interface SectionPair {
  lower: string;
  upper: string;
  spacingM: number;
  plusMinusM: number;
  /** Upper toe less lower crest; null when it was not levelled. */
  stepM: number | null;
  verdict: string;
}

export interface Section {
  thalweg: string;
  name?: string;
  lengthM: number;
  proven: boolean;
  bed: { chainageM: number; levelM: number }[];
  dams: SectionDam[];
  pairs: SectionPair[];
  notes: string[];
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

export function statusOf(work: { status?: string }): Status {
  return statuses.find((s) => s === work.status) ?? "unsaid";
}

/** Kinds by name; a work whose row did not come is drawn plainly rather than lost. */
export function kindIndex(land: Land): (name: string) => Kind {
  const rows = new Map(land.kinds.map((k) => [k.name, k]));
  return (name) =>
    rows.get(name) ?? { name, label: name, plural: name, work: true, mark: "", colour: "#333333" };
}
