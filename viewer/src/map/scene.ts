// Which things of a property are drawn at a place and scale: all that are in sight, or,
// where more would be drawn than a phone can, groups of them. Pure.

import { type Feature, type Geometry, kindOf, placeOf, textOf } from "../base/entry.ts";
import { shortened } from "../base/item.ts";
import { kindNamed } from "../base/kinds.ts";
import { project, referenceLongitude } from "./projection.ts";
import { besidePx } from "./clear.ts";
import { cellOf } from "./room.ts";
import { nameReach, type Reach } from "./wholeview.ts";

/** Names are written while so few things are in sight: laying them out costs more than drawing. */
export const namesUpTo = 150;
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

export function sceneOf(features: readonly Feature[]): Scene {
  const things = features.filter((f) => !f.struck && placeOf(f));
  const boxes = new Float64Array(things.length * 4);
  const near = referenceLongitude(things.map(placeOf));
  for (let i = 0; i < things.length; i++) {
    boxes.set([Infinity, Infinity, -Infinity, -Infinity], i * 4);
    widen(boxes, i * 4, placeOf(things[i]!)!, near);
  }
  return { things, boxes, near };
}

/** The box of everything, null when nothing has a place. */
export function wholeBox({ boxes }: Scene): Box | null {
  let west = Infinity,
    south = Infinity,
    east = -Infinity,
    north = -Infinity;
  for (let i = 0; i < boxes.length; i += 4) {
    west = Math.min(west, boxes[i]!);
    south = Math.min(south, boxes[i + 1]!);
    east = Math.max(east, boxes[i + 2]!);
    north = Math.max(north, boxes[i + 3]!);
  }
  return west <= east ? { west, south, east, north } : null;
}

/** The middle of the box of a thing, in units of the map. */
function middle({ boxes, near }: Scene, i: number): readonly [number, number] {
  const [w, s, e, n] = boxes.subarray(i * 4, i * 4 + 4) as unknown as [number, number, number, number];
  return project([(w + e) / 2, (s + n) / 2], near);
}

/** What the names on a map of everything need. */
export function nameReaches(scene: Scene): readonly Reach[] {
  if (scene.things.length > namesUpTo) return [];
  return scene.things.flatMap((thing, i) => {
    const name = kindOf(thing) === "visit" ? "" : textOf(thing, "name");
    return name ? [nameReach(...middle(scene, i), shortened(name, 22), besidePx)] : [];
  });
}

/** How far from a work the nearest other one stands, in units of the map; Infinity of what is no work, and where there is none. */
export function toNextWork(scene: Scene, work: Feature): number {
  const isWork = (f: Feature) => kindNamed(kindOf(f)).work;
  if (!isWork(work)) return Infinity;
  const [x, y] = middle(scene, scene.things.indexOf(work));
  return scene.things.reduce((least, other, i) => {
    if (other === work || !isWork(other)) return least;
    const [ox, oy] = middle(scene, i);
    return Math.min(least, Math.hypot(ox - x, oy - y));
  }, Infinity);
}

/** What to draw of the scene inside a box at a scale in degrees of longitude to a pixel. */
export function inSight(
  { things, boxes }: Scene,
  box: Box,
  degreesPerPx: number,
  most = mostSymbols,
): { alone: readonly Feature[]; groups: readonly Group[] } {
  const seen: number[] = [];
  for (let i = 0; i < things.length; i++) {
    const at = i * 4;
    if (boxes[at]! <= box.east && boxes[at + 2]! >= box.west && boxes[at + 1]! <= box.north && boxes[at + 3]! >= box.south) seen.push(i);
  }
  if (seen.length <= most) return { alone: seen.map((i) => things[i]!), groups: [] };
  return grouped({ things, boxes }, seen, groupPx * degreesPerPx);
}

/** The things that are alone in a square of a grid that stays put, and the rest by square. */
function grouped(
  { things, boxes }: Pick<Scene, "things" | "boxes">,
  seen: readonly number[],
  side: number,
): { alone: Feature[]; groups: Group[] } {
  const squares = new Map<number, { count: number; lon: number; lat: number; first: number }>();
  for (const i of seen) {
    const lon = (boxes[i * 4]! + boxes[i * 4 + 2]!) / 2;
    const lat = (boxes[i * 4 + 1]! + boxes[i * 4 + 3]!) / 2;
    const key = cellOf(lon, lat, side); // whole: squares are wider than 1e-5 degrees when things are grouped
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

/** Widens the box at a place of boxes until it holds a geometry. Plain loops: there may be 50,000 of them. */
function widen(boxes: Float64Array, at: number, g: Geometry, near: number): void {
  if (g.type === "GeometryCollection") for (const part of g.geometries) widen(boxes, at, part, near);
  else widenBy(boxes, at, g.coordinates, near);
}

type Nested = readonly (number | Nested)[];

function widenBy(boxes: Float64Array, at: number, coordinates: Nested, near: number): void {
  const [lonGiven, lat] = coordinates;
  if (typeof lonGiven !== "number") {
    for (let i = 0; i < coordinates.length; i++) widenBy(boxes, at, coordinates[i] as Nested, near);
    return;
  }
  const lon = lonGiven - 360 * Math.round((lonGiven - near) / 360);
  boxes[at] = Math.min(boxes[at]!, lon);
  boxes[at + 1] = Math.min(boxes[at + 1]!, lat as number);
  boxes[at + 2] = Math.max(boxes[at + 2]!, lon);
  boxes[at + 3] = Math.max(boxes[at + 3]!, lat as number);
}
