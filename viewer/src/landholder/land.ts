// What the server tells of a property to whoever holds its link: the shape of land.json.

import type { Geometry } from "../base/entry.ts";
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

/** The lists of a land, in the order in which they are asked for. */
export interface Lists {
  hazards: Watch[];
  watch: Watch[];
  works: Item[];
  others: Item[];
  sections: Section[];
}

export const listNames = ["hazards", "watch", "works", "others", "sections"] as const satisfies readonly (keyof Lists)[];

interface Head {
  property: { name: string };
  lastEntry?: string;
  /** Sentences: the last inspection, and how many works had one. */
  inspected: string[];
  done: { count: number; text: string; state?: ItemState }[];
  kinds: Kind[];
}

export interface Land extends Head, Lists {
  /** How many items there are; more than came, while blocks are on their way. */
  count: number;
}

/** What the server answers: a land with its lists, or where their blocks are found. */
export type Index = Head & Partial<Lists> & { blocks?: Record<keyof Lists, { count: number; names: string[] }> };

/** Takes an answer of the server for an index, or null when it is something else. */
export function readIndex(answer: unknown): Index | null {
  const index = answer as Partial<Index> | null;
  if (!index || typeof index !== "object") return null;
  const head = [index.inspected, index.done, index.kinds].every(Array.isArray) && typeof index.property?.name === "string";
  const lists = listNames.every((list) => Array.isArray(index.blocks ? index.blocks[list]?.names : index[list]));
  return head && lists ? (index as Index) : null;
}

/** A land of what has come. */
export function landOf(index: Index, blocks: ReadonlyMap<string, unknown[]>): Land {
  const list = (name: keyof Lists) => index[name] ?? index.blocks?.[name].names.flatMap((block) => blocks.get(block) ?? []) ?? [];
  const lists = Object.fromEntries(listNames.map((name) => [name, list(name)])) as unknown as Lists;
  const count = index.blocks ? index.blocks.works.count + index.blocks.others.count : lists.works.length + lists.others.length;
  return { ...index, ...lists, count };
}

/** Whether all items have come. */
export const isWhole = (land: Land): boolean => land.works.length + land.others.length >= land.count;

/** Kinds by name; an item whose row did not come is drawn plainly rather than lost. */
export function kindIndex(land: Land): (name: string) => Kind {
  const rows = new Map(land.kinds.map((k) => [k.name, k]));
  return (name) => rows.get(name) ?? { name, label: name, plural: name, work: true, mark: "", colour: "#333333" };
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
