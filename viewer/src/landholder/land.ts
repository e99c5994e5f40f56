// What the server tells of a property to whoever holds its link: the shape of land.json.

import type { Geometry } from "../base/item.ts";
import type { Section } from "../section/section.ts";

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

export interface Photo {
  sha: string;
  on?: string;
}

/** How an item on the ground does; absent while nothing is known to be wrong. */
export type ItemState = "failed" | "attention" | "danger";

/** A work, or something that works lie among. */
export interface Item {
  id: string;
  kind: string;
  name?: string;
  status?: string;
  statusOn?: string;
  builtOn?: string;
  state?: ItemState;
  geometry: Geometry | null;
  wrong: string[];
  plain: string[];
  /** When it was last inspected, or that it never was. */
  seen?: string;
  facts: { label: string; text: string }[];
  photos: Photo[];
}

export interface Watch {
  id: string;
  text: string;
  state?: ItemState;
}

export interface Land {
  property: { name: string };
  lastEntry?: string;
  /** Sentences: the last inspection, and how many works had one. */
  inspected: string[];
  done: { count: number; text: string; state?: ItemState }[];
  watch: Watch[];
  hazards: Watch[];
  kinds: Kind[];
  works: Item[];
  others: Item[];
  sections: Section[];
}

/** Takes an answer of the server for a Land, or null when it is something else. */
export function readLand(answer: unknown): Land | null {
  const land = answer as Partial<Land> | null;
  const lists = land && [land.inspected, land.done, land.watch, land.hazards, land.kinds, land.works, land.others, land.sections];
  const whole = lists && lists.every(Array.isArray) && typeof land.property?.name === "string";
  return whole ? (land as Land) : null;
}

/** Kinds by name; an item whose row did not come is drawn plainly rather than lost. */
export function kindIndex(land: Land): (name: string) => Kind {
  const rows = new Map(land.kinds.map((k) => [k.name, k]));
  return (name) =>
    rows.get(name) ?? { name, label: name, plural: name, work: true, mark: "", colour: "#333333" };
}

const openedOnTheMap = ["hazard", "gully-head", "photo-point"];

/** Whether there is more to read about an item than its place. */
export function opens(item: Item): boolean {
  return openedOnTheMap.includes(item.kind) || item.status !== undefined || item.photos.length > 0;
}

/** An item of this id that can be opened. */
export function itemOf(land: Land, id: string | null): Item | undefined {
  return id === null ? undefined : (land.works.find((w) => w.id === id) ?? land.others.find((o) => o.id === id));
}
