// A saved line, area or point while its shape is edited on the map, and the entry that it
// becomes. Points that were not touched keep what was recorded of them. Pure.

import { placeOf, type Feature, type Fields, type Geometry, type Position } from "../../base/entry.ts";
import { rounded } from "../../base/number.ts";
import { begun, spotsOf, type Recording, type Gap, type Spot } from "./recording.ts";

/** What is edited: its positions as a recording, and of an area its holes, which stay. */
export interface Shape {
  readonly type: "Point" | "LineString" | "MultiLineString" | "Polygon";
  readonly recording: Recording;
  readonly holes: readonly (readonly Position[])[];
  readonly known: readonly (keyof typeof lists)[]; // lists of the receiver that have a value for each point
}

/** What a receiver's record has for each point, by the name of the list. */
const lists = { accuraciesM: 0, how: "", secondsAfter: 0 };

/** The shape of a feature; undefined where it has none that can be edited here. */
export function shapeOf(f: Feature): Shape | undefined {
  const geometry = placeOf(f);
  const receiver = (f.fields["receiver"] ?? {}) as { readonly [name: string]: unknown };
  const lines = geometry && linesOf(geometry);
  if (!geometry || !lines) return undefined;
  const count = lines.reduce((n, line) => n + line.length, 0);
  const known = (Object.keys(lists) as (keyof typeof lists)[]).filter(
    (name) => Array.isArray(receiver[name]) && (receiver[name] as unknown[]).length === count,
  );
  const fromMS = Date.parse(String(receiver["from"] ?? "")) || 0;
  const list = <T>(name: keyof typeof lists, i: number, otherwise: T): T =>
    known.includes(name) ? ((receiver[name] as readonly T[])[i] ?? otherwise) : otherwise;
  const heights = f.fields["gpsHeightsM"];
  const accuracyM = typeof f.fields["accuracyM"] === "number" ? f.fields["accuracyM"] : 0; // 0: not known
  let i = 0;
  const spot = ([lon, lat]: Position): Spot => {
    const height = Array.isArray(heights)
      ? (heights[i] as number | null | undefined)
      : geometry.type === "Point"
        ? (f.fields["gpsHeightM"] as number | undefined)
        : undefined;
    const how = list<string>("how", i, "");
    const at: Spot = {
      lon,
      lat,
      accuracyM: list("accuraciesM", i, accuracyM),
      atMS: fromMS + list("secondsAfter", i, 0) * 1000,
      how:
        how === "walked" || how === "stood" || how === "tapped"
          ? how
          : f.fields["positionBasis"] === "drawn on the map"
            ? "tapped"
            : "stood",
      ...(typeof height === "number" && { heightM: height }),
      ...(how === "snapped" && { snappedTo: "the gully bed" }),
    };
    i++;
    return at;
  };
  const gaps = (Array.isArray(receiver["gaps"]) ? receiver["gaps"] : []) as readonly { why?: Gap["why"]; from?: string; to?: string }[];
  const pieces = lines.map((line) => line.map(spot));
  const recording: Recording = {
    ...begun(geometry.type === "Polygon" ? "area" : "line"),
    pieces,
    closed: geometry.type === "Polygon",
    gaps: pieces.slice(1).map((_, at) => ({
      why: gaps[at]?.why ?? "paused",
      fromMS: Date.parse(gaps[at]?.from ?? "") || 0,
      toMS: Date.parse(gaps[at]?.to ?? "") || 0,
    })),
  };
  return {
    type: geometry.type as Shape["type"],
    recording,
    holes: geometry.type === "Polygon" ? geometry.coordinates.slice(1) : [],
    known,
  };
}

function linesOf(g: Geometry): readonly (readonly Position[])[] | undefined {
  switch (g.type) {
    case "Point":
      return [[g.coordinates]];
    case "LineString":
      return [g.coordinates];
    case "MultiLineString":
      return g.coordinates;
    case "Polygon":
      return g.coordinates[0] && [g.coordinates[0].slice(0, -1)];
    default:
      return undefined; // from a file: edited where it was drawn
  }
}

/** Why it cannot be saved as the shape it was; "" when it can. */
export function cannotSave({ type, recording }: Shape): string {
  const n = spotsOf(recording).length;
  if (type === "Polygon" && n < 3) return "An area needs three points. Add one.";
  if (type !== "Point" && type !== "Polygon" && recording.pieces.some((p) => p.length < 2))
    return "Each piece of a line needs two points. Add one.";
  return "";
}

/** What the entry sets: the geometry, that it was drawn, and of each point what is still known of it. */
export function reshaped({ type, recording, holes, known }: Shape, before: Fields): Fields {
  const spots = spotsOf(recording);
  const coordinates = recording.pieces.map((piece) => piece.map(position));
  const area = type === "Polygon";
  const geometry =
    type === "Point"
      ? { type, coordinates: coordinates[0]![0]! }
      : area
        ? { type, coordinates: [[...coordinates[0]!, coordinates[0]![0]!], ...holes] }
        : coordinates.length === 1
          ? { type: "LineString", coordinates: coordinates[0]! }
          : { type: "MultiLineString", coordinates };
  const good = spots.every((s) => s.accuracyM > 0);
  const told = area ? [...spots, spots[0]!] : spots; // as finished.ts: a ring tells its first point twice
  const square = told.reduce((sum, s) => sum + s.accuracyM ** 2, 0);
  const receiver = before["receiver"];
  return {
    geometry,
    positionBasis: "drawn on the map",
    ...(good && { accuracyM: rounded(Math.sqrt(square / told.length), 2) }),
    ...(before["gpsHeightM"] !== undefined && { gpsHeightM: null }), // it was of the position before
    ...(before["gpsHeightsM"] !== undefined && { gpsHeightsM: told.map((s) => s.heightM ?? null) }),
    ...(receiver !== undefined && {
      receiver: type === "Point" ? null : { ...without(receiver as Fields), ...listsOf(spots, known, receiver as Fields) },
    }),
  };
}

/** A receiver's record but for its lists, which are made again as far as they are known. */
const without = (receiver: Fields): Fields => Object.fromEntries(Object.entries(receiver).filter(([name]) => !(name in lists)));

function listsOf(spots: readonly Spot[], known: Shape["known"], receiver: Fields): Fields {
  const fromMS = Date.parse(String(receiver["from"] ?? "")) || 0;
  const values: { readonly [name in keyof typeof lists]: (s: Spot) => unknown } = {
    accuraciesM: (s) => rounded(s.accuracyM, 1),
    how: (s) => (s.snappedTo ? "snapped" : s.how),
    secondsAfter: (s) => (s.how === "tapped" ? null : rounded((s.atMS - fromMS) / 1000, 1)),
  };
  return Object.fromEntries(known.map((name) => [name, spots.map(values[name])]));
}

const position = (s: Spot) => [rounded(s.lon, 8), rounded(s.lat, 8)];
