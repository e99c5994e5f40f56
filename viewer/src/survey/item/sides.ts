// What two people recorded differently, in words that can be compared: pure.

import { basisWords, type Basis } from "../../base/basis.ts";
import { fieldsOf, kindNamed, type Field } from "../../base/kinds.ts";
import { labelOf as labelled } from "../../base/names.ts";
import { accuracyWords, clock, distance } from "../../base/words.ts";
import { kindOf, type Feature, type Fields } from "../../base/entry.ts";
import { lengthOf, metresBetween, placeAt } from "../../base/plane.ts";
import type { Disagreement } from "../../storage/store.ts";
import { factText } from "./facts.ts";

type Side = Disagreement["sides"][number];

/** What belongs to a value and is of no use with another: how it was measured, how good a place is. */
const withIt: { readonly [field: string]: readonly string[] } = {
  geometry: ["accuracyM", "positionBasis", "gpsHeightM", "gpsHeightsM", "receiver", "drawnThrough"],
};

function companionsOf(feature: Feature, field: string): readonly string[] {
  const basis = fieldsOf(kindNamed(kindOf(feature))).find((f) => f.name === field)?.basis;
  return [...(withIt[field] ?? []), ...(basis ? [basis] : [])];
}

/** A value that belongs to a side's: as its entry says, else as it stood before. */
const withSide = (side: Side, name: string): unknown => (name in side.set ? side.set[name] : side.before[name]) ?? null;

/** The clashes to ask about: what belongs to a value that clashes is settled with it. */
export function asked(feature: Feature, all: readonly Disagreement[]): readonly Disagreement[] {
  const names = all.map((d) => d.field);
  return all.filter((d) => !names.some((name) => name !== d.field && companionsOf(feature, name).includes(d.field)));
}

/** What settles a clash for one side: an entry that saw both, also where the side is the one shown. */
export function settling(
  feature: Feature,
  d: Disagreement,
  side: Side,
): { readonly feature: string; readonly set?: Fields; readonly strike?: boolean } {
  if (d.field === "strike") return { feature: feature.id, strike: side.value === true };
  const companions = companionsOf(feature, d.field).filter((name) => d.sides.some((s) => withSide(s, name) !== null || name in s.set));
  return {
    feature: feature.id,
    set: { [d.field]: side.value, ...Object.fromEntries(companions.map((name) => [name, withSide(side, name)])) },
  };
}

export function labelOf(feature: Feature, field: string): string {
  if (field === "strike") return "Struck out or kept";
  const known = fieldsOf(kindNamed(kindOf(feature))).find((f) => f.name === field);
  return known ? labelled(feature, known) : field;
}

/** "R. Field, 10:42 on 13 May 2026"; a file without dates stands at the beginning of 1970. */
export function whoWords(side: Side, now: Date): string {
  const at = new Date(side.seenAt);
  return `${side.author || "Somebody"}, ${at.getTime() > 0 ? clock(at, now) : "no date"}`;
}

/** The value of a side, with what tells it from the other. */
export function sideWords(feature: Feature, d: Disagreement, side: Side, features: readonly Feature[]): string {
  if (d.field === "strike") return strikeWords(feature, side, features);
  if (side.value === null) return "left empty";
  const others = d.sides.filter((s) => s !== side);
  const field = fieldsOf(kindNamed(kindOf(feature))).find((f) => f.name === d.field);
  switch (field?.type) {
    case "geometry":
      return placeWords(side, others[0]);
    case "level-rows":
      return rowsWords(side.value, others[0]?.value);
    default:
      return field ? factText(field, side.value, features) + basisOf(field, side) : JSON.stringify(side.value);
  }
}

/** ", by tape", as the side's own entry says. */
function basisOf(field: Field, side: Side): string {
  if (!field.basis) return "";
  const basis = withSide(side, field.basis) ?? "not recorded";
  return `, ${basisWords[basis as Basis] ?? String(basis)}`;
}

function strikeWords(feature: Feature, side: Side, features: readonly Feature[]): string {
  if (side.value === true) return "Struck out";
  if (side.value === false) return "Restored";
  const kind = kindNamed(kindOf(feature));
  const said = Object.entries(side.value as Fields).flatMap(([name, value]) => {
    const field: Field | undefined = fieldsOf(kind).find((f) => f.name === name);
    return field && field.type !== "geometry"
      ? [`${field.label.toLowerCase()} ${value === null ? "left empty" : factText(field, value, features)}`]
      : [];
  });
  return `Kept, and edited${said.length ? `: ${said.join(", ")}` : ""}`;
}

export type Positions = readonly (readonly [number, number])[];

/** All positions of a GeoJSON geometry, line by line. */
export function linesOf(value: unknown): readonly Positions[] {
  const place = value as { type?: string; coordinates?: unknown } | null;
  switch (place?.type) {
    case "Point":
      return [[place.coordinates as readonly [number, number]]];
    case "LineString":
    case "MultiPoint":
      return [place.coordinates as Positions];
    case "Polygon":
    case "MultiLineString":
      return place.coordinates as readonly Positions[];
    case "MultiPolygon":
      return (place.coordinates as readonly (readonly Positions[])[]).flat();
    default:
      return [];
  }
}

function placeWords(side: Side, other: Side | undefined): string {
  const lines = linesOf(side.value),
    first = lines[0]?.[0];
  if (!first) return "no position";
  const accuracyM = withSide(side, "accuracyM"),
    basis = withSide(side, "positionBasis");
  const by = typeof basis === "string" ? `, ${basisWords[basis as Basis] ?? basis}` : "";
  const accuracy = `${by}, ${typeof accuracyM === "number" ? accuracyWords(accuracyM) : "± not known"}`;
  const points = lines.reduce((n, l) => n + l.length, 0);
  const lengthM = lines.reduce((sum, line) => sum + lengthOf(line.map(placeAt)), 0);
  const otherLines = other ? linesOf(other.value) : [];
  const otherFirst = otherLines[0]?.[0];
  if (points === 1)
    return `A point${accuracy}${otherFirst && otherLines[0]!.length === 1 ? `, ${distance(metresBetween(placeAt(first), placeAt(otherFirst)))} from the other` : ""}`;
  return `${points} points, about ${distance(lengthM)} long${accuracy}`;
}

const readings = ["bs", "is", "fs", "knownLevelM", "distanceM", "chainageM", "point", "struck"] as const;
const readingWords: { readonly [name: string]: string } = {
  bs: "backsight",
  is: "intermediate",
  fs: "foresight",
  knownLevelM: "known level",
  distanceM: "distance",
  chainageM: "chainage",
  point: "point",
  struck: "struck out",
};
const mostTold = 4;

/** How many rows a book has, and where it reads otherwise than the other. */
function rowsWords(value: unknown, other: unknown): string {
  const rows = Array.isArray(value) ? (value as readonly Fields[]) : [];
  const others = Array.isArray(other) ? (other as readonly Fields[]) : [];
  const told = rows.flatMap((row, i) => {
    const otherRow = others[i];
    const differ = readings.filter((name) => (row?.[name] ?? null) !== (otherRow?.[name] ?? null) && row?.[name] !== undefined);
    const missing = readings.filter((name) => row?.[name] === undefined && otherRow?.[name] !== undefined && otherRow[name] !== null);
    const words = [
      ...differ.map((name) => `${readingWords[name]} ${row[name] === true ? "yes" : String(row[name])}`),
      ...missing.map((name) => `no ${readingWords[name]}`),
    ];
    return words.length ? [`row ${i + 1}: ${words.join(", ")}`] : [];
  });
  const more = told.length > mostTold ? [`and ${told.length - mostTold} rows more`] : [];
  return [`${rows.length} rows`, ...told.slice(0, mostTold), ...more].join("; ");
}
