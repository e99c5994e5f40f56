// What an item is called: pure.

import { kindOf, textOf, type Feature } from "./entry.ts";
import { kindNamed, type Field } from "./kinds.ts";
import { called } from "./words.ts";

/** Its own name, else its kind. */
export const ownNameOf = (feature: Feature): string => called(textOf(feature, "name"), kindNamed(kindOf(feature)).label);

/** Its own name, else what a visit or a photo is of, else its kind. */
export function nameOf(feature: Feature, features: readonly Feature[]): string {
  const kind = kindNamed(kindOf(feature));
  const own = ownNameOf(feature);
  if (kind.name !== "visit" || own !== kind.label) return own;
  const of = features.find((f) => f.id === feature.fields["of"]);
  const word = isPhoto(feature) ? "Photo" : own;
  return of && kindOf(of) !== "visit" ? `${word}: ${nameOf(of, features)}` : word;
}

/**
 * What a field of an item is called where it is read: the day of a visit and of a photo by what
 * was done on it, and a slope without the "1 in" that its value begins with.
 */
export function labelOf(feature: Feature, field: Field): string {
  if (field.name === "runPerRise") return "Slope";
  if (field.name !== "observedOn" || kindOf(feature) !== "visit") return field.label;
  return isPhoto(feature) ? "Taken on" : "Visited on";
}

/** The kind of an item in words: a photo is kept as a visit. */
export const kindLabelOf = (feature: Feature): string => (isPhoto(feature) ? "Photo" : kindNamed(kindOf(feature)).label);

/** The next of numbered names, after the highest of those there are: "Dam 3", "CP4". */
export function nextName(begins: string, names: readonly string[]): string {
  const pattern = new RegExp(`^${begins}(\\d+)$`);
  return `${begins}${1 + Math.max(0, ...names.map((name) => Number(pattern.exec(name)?.[1] ?? 0)))}`;
}

const looked = ["condition", "sedimentDepthM", "headOffsetM", "coverPct", "notes"];

/** Whether a visit is a photo and no more: nobody judged or measured anything at it. */
export function isPhoto(f: Feature): boolean {
  const photos = f.fields["photos"];
  return kindOf(f) === "visit" && Array.isArray(photos) && photos.length > 0 && looked.every((name) => (f.fields[name] ?? null) === null);
}
