// An entry as it travels and is stored: the same JSON text that sync/register reads. The
// text is made once, here, and never written again; its bytes are what is hashed.

/** Values of any type that JSON has, by field name; null clears a field. */
export type Fields = { readonly [name: string]: unknown };

export interface Entry {
  readonly v: 1;
  readonly id: string; // UUIDv7
  readonly property: string;
  readonly feature: string;
  readonly device: string;
  readonly deviceSeq: number; // from 1, without gaps, per device and property
  readonly stamp: string; // 16 hexadecimal digits: milliseconds and counter
  readonly seenAt: string; // RFC 3339 with offset
  readonly author: string;
  readonly saw?: { readonly [device: string]: number };
  readonly set?: Fields;
  readonly strike?: boolean;
}

/** A feature as it stands on this phone. */
export interface Feature {
  readonly id: string;
  readonly property: string;
  readonly fields: Fields;
  readonly struck: boolean;
  /** Fields that two people set differently, neither having seen the other's. */
  readonly clashes: readonly string[];
  /** By device, the highest deviceSeq this phone has applied of the feature. */
  readonly saw: { readonly [device: string]: number };
  readonly stamp: string; // the greatest so far
  readonly unsent: number; // entries about it that the server has not acknowledged
}

/** Longitude and latitude in degrees, WGS84. */
export type Position = readonly [number, number];

/** GeoJSON. */
export type Geometry =
  | { readonly type: "Point"; readonly coordinates: Position }
  | { readonly type: "MultiPoint" | "LineString"; readonly coordinates: readonly Position[] }
  | { readonly type: "MultiLineString" | "Polygon"; readonly coordinates: readonly (readonly Position[])[] }
  | { readonly type: "MultiPolygon"; readonly coordinates: readonly (readonly (readonly Position[])[])[] }
  | { readonly type: "GeometryCollection"; readonly geometries: readonly Geometry[] };

/** The kind of the feature that holds a property's settings; it is no item. */
export const settingsKind = "settings";

export const kindOf = (f: Feature): string => (typeof f.fields["kind"] === "string" ? f.fields["kind"] : "unsorted");
export const textOf = (f: Feature, name: string): string => (typeof f.fields[name] === "string" ? f.fields[name] : "");
export const numberOf = (f: Feature, name: string): number | undefined => (typeof f.fields[name] === "number" ? f.fields[name] : undefined);
export const placeOf = (f: Feature): Geometry | undefined => (f.fields["geometry"] as Geometry | null) ?? undefined;
/** When the newest entry about a feature was made, by its stamp; undefined of what came from a file without dates. */
export function stampedAt(f: Feature): Date | undefined {
  const ms = Number.parseInt(f.stamp.slice(0, 12), 16);
  return ms > 0 ? new Date(ms) : undefined;
}
