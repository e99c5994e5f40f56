// Which things of a property are drawn at a place and scale: all that are in sight, or,
// where more would be drawn than a phone can, groups of them. Pure.

import type { Feature } from "../entry.ts";
import type { Geometry } from "../../land/item.ts";

/** No more symbols than this are drawn at once. */
export const mostSymbols = 2000;
/** Things closer together than this on the screen are one group, when there are too many. */
const groupPx = 56;

/** The things that have a place, and by four numbers each the box they lie in: west, south, east, north in degrees. */
export interface Scene {
  readonly things: readonly Feature[];
  readonly boxes: Float64Array;
  readonly near: number; // longitude round which all are drawn, so that nothing is torn at the antimeridian
}

export interface Box {
  readonly west: number;
  readonly south: number;
  readonly east: number;
  readonly north: number;
}

export interface Group {
  readonly lon: number;
  readonly lat: number;
  readonly count: number;
}

export const geometryOf = (f: Feature) => (f.fields["geometry"] as Geometry | null | undefined) ?? undefined;

export function sceneOf(features: readonly Feature[]): Scene {
  const things = features.filter((f) => !f.struck && geometryOf(f));
  const boxes = new Float64Array(things.length * 4);
  let near = NaN;
  things.forEach((thing, i) => {
    let west = Infinity, south = Infinity, east = -Infinity, north = -Infinity;
    eachPosition(geometryOf(thing)!, (lonGiven, lat) => {
      if (Number.isNaN(near)) near = lonGiven;
      const lon = lonGiven - 360 * Math.round((lonGiven - near) / 360);
      west = Math.min(west, lon);
      east = Math.max(east, lon);
      south = Math.min(south, lat);
      north = Math.max(north, lat);
    });
    boxes.set([west, south, east, north], i * 4);
  });
  return { things, boxes, near: Number.isNaN(near) ? 0 : near };
}

/** The box of everything, null when nothing has a place. */
export function wholeBox({ boxes }: Scene): Box | null {
  let west = Infinity, south = Infinity, east = -Infinity, north = -Infinity;
  for (let i = 0; i < boxes.length; i += 4) {
    west = Math.min(west, boxes[i]!);
    south = Math.min(south, boxes[i + 1]!);
    east = Math.max(east, boxes[i + 2]!);
    north = Math.max(north, boxes[i + 3]!);
  }
  return west <= east ? { west, south, east, north } : null;
}

/** What to draw of the scene inside a box at a scale in degrees of longitude to a pixel. */
export function inSight({ things, boxes }: Scene, box: Box, degreesPerPx: number, most = mostSymbols): { alone: readonly Feature[]; groups: readonly Group[] } {
  const seen: number[] = [];
  for (let i = 0; i < things.length; i++) {
    const at = i * 4;
    if (boxes[at]! <= box.east && boxes[at + 2]! >= box.west && boxes[at + 1]! <= box.north && boxes[at + 3]! >= box.south) seen.push(i);
  }
  if (seen.length <= most) return { alone: seen.map((i) => things[i]!), groups: [] };
  return grouped({ things, boxes }, seen, groupPx * degreesPerPx);
}

/** The things that are alone in a square of a grid that stays put, and the rest by square. */
function grouped({ things, boxes }: Pick<Scene, "things" | "boxes">, seen: readonly number[], side: number): { alone: Feature[]; groups: Group[] } {
  const squares = new Map<string, { count: number; lon: number; lat: number; first: number }>();
  for (const i of seen) {
    const lon = (boxes[i * 4]! + boxes[i * 4 + 2]!) / 2;
    const lat = (boxes[i * 4 + 1]! + boxes[i * 4 + 3]!) / 2;
    const key = `${Math.floor(lon / side)} ${Math.floor(lat / side)}`;
    const square = squares.get(key);
    if (!square) squares.set(key, { count: 1, lon, lat, first: i });
    else {
      square.count++;
      square.lon += lon;
      square.lat += lat;
    }
  }
  const alone: Feature[] = [];
  const groups: Group[] = [];
  for (const { count, lon, lat, first } of squares.values()) {
    if (count === 1) alone.push(things[first]!);
    else groups.push({ lon: lon / count, lat: lat / count, count });
  }
  return { alone, groups };
}

function eachPosition(g: Geometry, each: (lon: number, lat: number) => void): void {
  if (g.type === "GeometryCollection") return g.geometries.forEach((part) => eachPosition(part, each));
  const into = (at: unknown): void => {
    if (!Array.isArray(at)) return;
    if (typeof at[0] === "number") each(at[0], at[1] as number);
    else at.forEach(into);
  };
  into(g.coordinates);
}
