// Written by go generate ./viewer/typing from the schemas of model/compute.

// map-grid: eastings and northings of positions, or the positions of map coordinates, with the datum shift given

import type { Caution } from "./shared.ts";

export interface Input {
  /** UTM, on WGS84; or the Map Grid of Australia, on GDA2020 or the older GDA94 */
  grid: "UTM" | "MGA2020" | "MGA94";
  /** [deg] longitude and latitude of each position, WGS84, to be put on the grid */
  positions?: [number, number][] | null;
  /** coordinates read from the grid, to be turned into positions; give these or positions */
  coordinates?: Coordinate[] | null;
  /** the zone for all of the positions; each one's own if not given */
  zone?: number | null;
  /** when the positions were fixed, as 2026-11-25: Australia moves 7 cm a year and its datums do not */
  seenOn?: string | null;
  /** [m] one standard deviation of a position along any direction */
  accuracyM?: number | null;
  /** how the positions came about; GPS if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
}

export interface Coordinate {
  /** 1 to 60 */
  zone: number;
  /** which side of the equator; south in Australia */
  hemisphere: "north" | "south";
  /** [m] with the 500000 of the zone's middle in it */
  eastingM: number;
  /** [m] from the equator, southern ones with 10000000 added */
  northingM: number;
}

export interface Output {
  /** what eastings and northings stand on */
  datum: string;
  /** in the order they were given */
  points: Point[];
  /** what the positions come from */
  basis: string;
  /** what to watch for when using them */
  cautions: Caution[];
}

export interface Point {
  /** [deg] WGS84 */
  longitude: number;
  /** [deg] WGS84 */
  latitude: number;
  /** 1 to 60 */
  zone: number;
  /** north or south */
  hemisphere: string;
  /** [m] on the grid's own datum */
  eastingM: number;
  /** [m] on the grid's own datum */
  northingM: number;
  /** [m] one standard deviation of easting and of northing, along the grid; none without an accuracy */
  plusMinusM?: number;
  /** [deg] bearing of grid north from true north, east of it positive */
  convergenceDeg: number;
  /** length on the grid over length on the ellipsoid */
  scale: number;
  /** [m] datum shift that is in the easting: how far east of its WGS84 place the grid's datum puts it */
  shiftEastM: number;
  /** [m] datum shift that is in the northing */
  shiftNorthM: number;
}
