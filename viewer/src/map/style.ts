// How works and their surroundings are drawn on the map: styles of OpenLayers made from
// the kinds' rows.

import { buffer, containsXY, type Extent } from "ol/extent.js";
import type { FeatureLike } from "ol/Feature.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import MultiLineString from "ol/geom/MultiLineString.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import Icon from "ol/style/Icon.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import { type DrawnKind, shortened, type Status } from "../base/item.ts";
import { attentionMark, boxSize, ink, lineDress, markInset, type Stroke, symbol } from "./symbols.ts";
import { sidewaysPx } from "./withinsight.ts";

const labelFont = "600 15px system-ui, sans-serif";
const placeFont = "italic 17px Georgia, 'Times New Roman', serif";
const placeLetterPx = 8; // of placeFont, on average
/** From the middle of a work's symbol to its name. */
export const labelBelowPx = 35;
const beyondPx = 26; // from the end of a line to its name
const edgePx = 12; // from the edge of what is in sight to a name
const mostTried = 4; // straight parts of a line, for its name
const letterRoomPx = 8; // each way of a letter of a name
const here: Shift = [0, 0];
const smallPx = 24; // of a symbol that has no room to be drawn whole
const moved = (shift: Shift) => shift[0] !== 0 || shift[1] !== 0;
const white = "#ffffff";
const belowWhole = 24; // small symbols lie below whole ones
const finenesses = [1, 0.7, 0.45];

/** Paints strokes of a 40 by 40 box on a canvas of the screen's own fineness. */
function painted(strokes: Stroke[], size: number, ratio: number): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = Math.round(size * ratio);
  const pen = canvas.getContext("2d");
  if (!pen) return canvas;
  const scale = canvas.width / boxSize;
  pen.lineCap = pen.lineJoin = "round";
  for (const s of strokes) {
    const inset = s.inMark ? markInset : 0;
    pen.setTransform(scale, 0, 0, scale, inset * scale, inset * scale);
    pen.setLineDash([...(s.dash ?? [])]);
    const path = new Path2D(s.path);
    if (s.fill) {
      pen.fillStyle = s.fill;
      pen.fill(path);
    }
    if (s.stroke) {
      pen.strokeStyle = s.stroke;
      pen.lineWidth = s.width ?? 1;
      pen.stroke(path);
    }
  }
  return canvas;
}

function kept<T>(make: (key: string) => T): (key: string) => T {
  const made = new Map<string, T>();
  return (key) => {
    let value = made.get(key);
    if (value === undefined) made.set(key, (value = make(key)));
    return value;
  };
}

export type WorkStyle = (f: FeatureLike, resolution: number) => Style[];

/** How a page wants the symbols of works that stand close together. */
export interface Crowding {
  readonly attention: boolean; // the work needs some: told by a mark on its symbol
  /** Where its symbol and name stand at a resolution, null when they are not drawn; its place or line always is. */
  room(resolution: number): Shift | null;
  /** Whether its name stands above its symbol: below it something is in the way. */
  readonly nameAbove?: (resolution: number) => boolean;
}

/** How far from its place a symbol stands, in units of the map, and whether it is drawn small there, without its name. */
export type Shift = readonly [east: number, north: number, size?: "small"];

/** How a page wants what is not a work. */
export interface Surroundings {
  readonly attention?: boolean;
  /** Whether a name may be written there. */
  readonly isFree?: IsFree;
  /** The part of the map in sight, on which names are written. */
  readonly sight?: () => Extent;
  /** Whether the name of what lies at a point and has none on the map is written: of what is chosen. */
  readonly named?: boolean;
  /** Where its symbol stands. */
  readonly room?: (resolution: number) => Shift | null;
}

/** Whether no symbol stands within a box around a place, its halves in pixels, at a resolution. */
export type IsFree = (at: readonly number[], halfWidthPx: number, halfHeightPx: number, resolution: number) => boolean;

export interface Dresser {
  work(kind: DrawnKind, status: Status, name: string, crowding?: Crowding): WorkStyle;
  other(kind: DrawnKind, name: string, how?: Surroundings): WorkStyle;
  /** Round the symbol of what is chosen, where it stands. */
  halo(geometry: Geometry, shift?: Shift): Style[];
}

/** Makes styles for one screen; symbols and patterns are painted once and kept. */
export function dresser(ratio: number): Dresser {
  const icons = new Map<string, Icon>();
  // A symbol that gives way is left out where another stands; one that stays keeps names off it.
  type Room = "declutter" | "obstacle" | "none";
  const icon = (key: string, strokes: () => Stroke[], size: number, declutterMode: Room): Icon => {
    let made = icons.get(key);
    if (!made) {
      const img = painted(strokes(), size, ratio);
      made = new Icon({ img, scale: 1 / ratio, declutterMode });
      icons.set(key, made);
    }
    return made;
  };
  // A symbol beside its place, with a line to it.
  const besides = (geometry: Geometry, shift: Shift, [image, zIndex]: [Icon, number], label?: Text): Style[] => {
    const [from, to] = [shifted(geometry, here), shifted(geometry, shift)];
    const leader = (color: string, width: number, z: number) =>
      new Style({ geometry: new LineString([from, to]), stroke: new StrokeStyle({ color, width }), zIndex: z });
    const at = new Point(to);
    return [
      leader(white, 4, 21),
      leader(ink, 1.5, 22),
      new Style({ geometry: at, image, zIndex }),
      ...(label ? [new Style({ geometry: at, text: label, zIndex: 19 })] : []),
    ];
  };
  const cross = () =>
    icon(
      "cross",
      () => [
        { path: "M8 8L32 32M32 8L8 32", stroke: white, width: 16 },
        { path: "M8 8L32 32M32 8L8 32", stroke: ink, width: 8 },
      ],
      14,
      "none",
    );
  const pattern = kept((key) => {
    const [mark = "", colour = ink] = key.split("|");
    const tile = painted([{ path: mark, stroke: colour, width: 1.6, inMark: true }], 36, ratio);
    const pale = document.createElement("canvas");
    pale.width = pale.height = tile.width;
    const pen = pale.getContext("2d");
    if (!pen) return new Fill({ color: "rgba(0,0,0,0)" });
    pen.globalAlpha = 0.08;
    pen.fillStyle = colour;
    pen.fillRect(0, 0, pale.width, pale.height);
    pen.globalAlpha = 0.5;
    pen.drawImage(tile, 0, 0);
    return new Fill({ color: pen.createPattern(pale, "repeat") ?? "rgba(0,0,0,0)" });
  });

  const line = (colour: string, status: Status, zIndex: number, filled: Fill | null, fine: number): Style[] => {
    const dress = lineDress[status];
    const width = dress.width * fine;
    const styles = [
      new Style({ stroke: new StrokeStyle({ color: white, width: width + 3.5 * fine }), zIndex }),
      new Style({
        stroke: new StrokeStyle({ color: colour, width, lineDash: dress.dash.map((d) => d * fine), lineCap: "round" }),
        zIndex: zIndex + 1,
      }),
    ];
    if (filled) styles.unshift(new Style({ fill: filled, zIndex: zIndex - 1 }));
    if (dress.beads)
      styles.push(
        new Style({
          stroke: new StrokeStyle({ color: colour, width: 8 * fine, lineDash: [0.1, 18 * fine], lineCap: "round" }),
          zIndex: zIndex + 1,
        }),
      );
    return styles;
  };

  return {
    work(kind, status, name, crowding) {
      const attention = crowding?.attention ?? false;
      const stays = crowding !== undefined || status === "failed" || status === "proposed";
      const badge = icon(
        `${kind.name}|${status}|${attention}|${stays}`,
        () => [...symbol(kind, status), ...(attention ? attentionMark : [])],
        boxSize,
        stays ? "obstacle" : "declutter",
      );
      const signs = () => icon(`${kind.name}|${status}|small`, () => symbol(kind, status), smallPx, "obstacle");
      const labelAt = (offsetY: number) =>
        name
          ? new Text({
              text: shortened(name, 22),
              font: labelFont,
              offsetY,
              fill: new Fill({ color: ink }),
              stroke: new StrokeStyle({ color: white, width: 4 }),
            })
          : undefined;
      const [below, over] = [labelAt(labelBelowPx), labelAt(-labelBelowPx)];
      const dotOnly = [
        new Style({
          image: new CircleStyle({
            radius: 5.5,
            fill: new Fill({ color: kind.colour }),
            stroke: new StrokeStyle({ color: white, width: 2 }),
            declutterMode: "none",
          }),
          zIndex: 20,
        }),
      ];
      const above = status === "failed" || attention ? 34 : 30;
      const onPoint = (label: Text | undefined) => [
        ...dotOnly,
        new Style({ image: badge, zIndex: above }),
        ...(label ? [new Style({ text: label, zIndex: 19 })] : []),
      ];
      const middle = (f: FeatureLike) => symbolPlace(f.getGeometry() as Geometry);
      const onMiddle = (label: Text | undefined) => [
        new Style({ geometry: middle, image: badge, zIndex: above - 5 }),
        ...(label ? [new Style({ geometry: middle, text: label, zIndex: 18 })] : []),
      ];
      const lineOnly = byFineness((fine) => line(kind.colour, status, 12, null, fine));
      const filled = status === "proposed" || status === "removed" ? null : pattern(`${kind.mark ?? ""}|${kind.colour}`);
      const areaOnly = byFineness((fine) => line(kind.colour, status, 6, filled, fine));
      const crossed = lineDress[status].crosses;
      return (f, resolution) => {
        const geometry = f.getGeometry() as Geometry;
        const room = crowding ? crowding.room(resolution) : here;
        const label = crowding?.nameAbove?.(resolution) ? over : below;
        const little =
          room?.[2] === "small"
            ? moved(room)
              ? besides(geometry, room, [signs(), belowWhole])
              : [new Style({ geometry: middle, image: signs(), zIndex: belowWhole })]
            : null;
        if (geometry instanceof Point || geometry instanceof MultiPoint) {
          if (little) return [...dotOnly, ...little];
          if (room && moved(room)) return [...dotOnly, ...besides(geometry, room, [badge, above], label)];
          return room ? onPoint(label) : dotOnly;
        }
        const area = geometry instanceof Polygon || geometry instanceof MultiPolygon;
        const itself = (area ? areaOnly : lineOnly)(resolution);
        const styles = !room
          ? itself
          : little
            ? [...itself, ...little]
            : moved(room)
              ? [...itself, ...besides(geometry, room, [badge, above - 5], label)]
              : [...itself, ...onMiddle(label)];
        if (!crossed) return styles;
        const crosses = new Style({ geometry: new MultiPoint(placesAlong(geometry, 46 * resolution)), image: cross(), zIndex: 15 });
        return [...styles, crosses];
      };
    },
    other(kind, name, { attention = false, isFree = () => true, sight, named: isNamed = false, room } = {}) {
      const written = shortened(name, 40);
      const label = name
        ? new Text({
            text: written,
            font: placeFont,
            placement: "line",
            textBaseline: "bottom",
            offsetY: -8,
            fill: new Fill({ color: kind.colour }),
            stroke: new StrokeStyle({ color: white, width: 4 }),
            overflow: false,
          })
        : undefined;
      const beyond = (way: 1 | -1) =>
        new Text({
          text: written,
          font: placeFont,
          textAlign: way > 0 ? "left" : "right",
          offsetX: way * beyondPx,
          fill: new Fill({ color: kind.colour }),
          stroke: new StrokeStyle({ color: white, width: 4 }),
        });
      const [after, before] = [beyond(1), beyond(-1)];
      const level = new Text({
        text: written,
        font: placeFont,
        fill: new Fill({ color: kind.colour }),
        stroke: new StrokeStyle({ color: white, width: 4 }),
      });
      const stroke = (width: number, dash: number[] = []) =>
        new Style({ stroke: new StrokeStyle({ color: kind.colour, width, lineDash: dash, lineCap: "butt" }), zIndex: 1 });
      const named = (...lines: Style[]): WorkStyle => {
        if (!label) return () => lines;
        const widthPx = Array.from(written).length * placeLetterPx;
        return (f, resolution) => {
          const shape = f.getGeometry() as Geometry;
          const seen = sight?.();
          const along = straightStretch(shape, resolution, widthPx, isFree, seen);
          if (along) return [...lines, new Style({ geometry: along, text: label, zIndex: 17 })];
          // Beyond the end of a track the next line would seem to be called so.
          const end = kind.name === "thalweg" ? beyondAnEnd(shape, resolution, widthPx, isFree, seen) : null;
          if (end) return [...lines, new Style({ geometry: end.at, text: end.way > 0 ? after : before, zIndex: 17 })];
          const side = seen ? beside(shape, resolution, widthPx, isFree, seen) : null;
          return side ? [...lines, new Style({ geometry: side, text: level, zIndex: 17 })] : lines;
        };
      };
      const stays = attention || ["hazard", "homestead", "gate"].includes(kind.name);
      const badge = icon(
        `other|${kind.name}|${attention}`,
        () => [
          { path: "M20 6a14 14 0 1 0 .01 0z", fill: white },
          { path: kind.mark ?? "", stroke: kind.colour, width: 2.2, inMark: true },
          ...(attention ? attentionMark : []),
        ],
        boxSize - 4,
        stays ? "obstacle" : "declutter",
      );
      // What can hurt is drawn over everything and gives way to nothing; what has a name below
      // it stays as long as the name.
      const above = kind.name === "hazard" ? 40 : attention ? 33 : 5;
      const place = new Style({ geometry: (f) => symbolPlace(f.getGeometry() as Geometry), image: badge, zIndex: above });
      const short = shortened(name, 22);
      const below = name
        ? new Style({
            text: new Text({
              text: short,
              font: placeFont,
              offsetY: isNamed ? labelBelowPx : 28,
              fill: new Fill({ color: kind.colour }),
              stroke: new StrokeStyle({ color: white, width: 4 }),
            }),
            zIndex: 17,
          })
        : undefined;
      const dot = new Style({
        image: new CircleStyle({ radius: 3.5, fill: new Fill({ color: kind.colour }), declutterMode: "none" }),
        zIndex: 2,
      });
      switch (kind.name) {
        case "thalweg":
          return named(stroke(2.5));
        case "track":
          return named(stroke(6), new Style({ stroke: new StrokeStyle({ color: white, width: 3 }), zIndex: 2 }));
        case "fence":
          return named(stroke(1.5), stroke(11, [1.5, 22]));
        case "gully-edge":
          return named(stroke(1.5), stroke(8, [1.2, 9]));
        case "scald":
          return named(stroke(1.5, [5, 5]), new Style({ fill: pattern(`${kind.mark ?? ""}|${kind.colour}`), zIndex: 0 }));
        case "property-boundary":
          return named(stroke(2.5, [16, 5, 3, 5]));
        case "homestead": // read whole at the edge of what is in sight
        case "gate":
          return (f, resolution) => {
            if (!below) return [dot, place];
            const seen = sight?.(),
              x = (symbolPlace(f.getGeometry() as Geometry) as Point).getFirstCoordinate()[0]!;
            const widthPx = Array.from(short).length * placeLetterPx + 2 * edgePx;
            below.getText()!.setOffsetX(seen ? sidewaysPx((x - seen[0]!) / resolution, (seen[2]! - x) / resolution, widthPx) : 0);
            return [dot, place, below];
          };
        default:
          return (f, resolution) => {
            const at = room?.(resolution) ?? here;
            const text =
              isNamed && below
                ? [new Style({ geometry: new Point(shifted(f.getGeometry() as Geometry, at)), text: below.getText()!, zIndex: 17 })]
                : [];
            return [stroke(2), dot, ...text, ...(moved(at) ? besides(f.getGeometry() as Geometry, at, [badge, above]) : [place])];
          };
      }
    },
    halo(geometry, shift = here) {
      const ring = (color: string, width: number, zIndex: number) => new Style({ stroke: new StrokeStyle({ color, width }), zIndex });
      const at = new Point(shifted(geometry, shift));
      const disc = new Style({
        geometry: at,
        image: new CircleStyle({
          radius: 24,
          fill: new Fill({ color: "rgba(255, 200, 40, 0.35)" }),
          stroke: new StrokeStyle({ color: ink, width: 3 }),
        }),
        zIndex: 2,
      });
      if (geometry instanceof Point || geometry instanceof MultiPoint) return [disc];
      return [ring(ink, 13, 0), ring("#ffc828", 9, 1), disc];
    },
  };
}

/** Lines get finer as the map shows more ground, so that rip lines stay apart. */
function byFineness(make: (fine: number) => Style[]): (resolution: number) => Style[] {
  const made = finenesses.map(() => null as Style[] | null);
  return (resolution) => {
    const i = resolution < 0.9 ? 0 : resolution < 1.5 ? 1 : 2;
    return (made[i] ??= make(finenesses[i] ?? 1));
  };
}

/** Where the symbol of a work stands: on its place, the middle of its line, or inside its area. */
export function symbolPlace(geometry: Geometry): Geometry {
  if (geometry instanceof Polygon) return new Point(geometry.getInteriorPoint().getFirstCoordinate());
  if (geometry instanceof MultiPolygon) {
    const [first] = geometry.getPolygons();
    return first ? symbolPlace(first) : geometry;
  }
  if (geometry instanceof LineString) return new Point(geometry.getCoordinateAt(0.5));
  if (geometry instanceof MultiLineString) {
    const [first] = geometry.getLineStrings();
    return first ? symbolPlace(first) : geometry;
  }
  return geometry;
}

/** Where a symbol stands that is shifted from its place. */
function shifted(geometry: Geometry, [east, north]: Shift): [number, number] {
  const [x = 0, y = 0] = (symbolPlace(geometry) as Point).getFlatCoordinates();
  return [x + east, y + north];
}

/**
 * A stretch in sight along which a name of this width can be written without a bend and
 * past all symbols, on the longest straight part of the line; null when there is none.
 */
function straightStretch(geometry: Geometry, resolution: number, widthPx: number, isFree: IsFree, sight?: Extent): LineString | null {
  const half = ((widthPx + 10) / 2) * resolution;
  for (const bendPx of [14, 30]) {
    const simple = geometry.simplify(bendPx * resolution);
    const line =
      simple instanceof LineString ? simple.getCoordinates() : simple instanceof Polygon ? (simple.getCoordinates()[0] ?? []) : [];
    const stretches = line.slice(1).flatMap((to, i) => inSight(line[i] ?? to, to, sight, edgePx * resolution));
    for (const stretch of stretches.sort((a, b) => b.getLength() - a.getLength()).slice(0, mostTried)) {
      const along = freePart(stretch, half, widthPx, resolution, isFree);
      if (along) return along;
    }
  }
  return null;
}

function freePart(stretch: LineString, half: number, widthPx: number, resolution: number, isFree: IsFree): LineString | null {
  const long = stretch.getLength();
  if (long < 2 * half) return null;
  const letters = Math.ceil(widthPx / (2 * letterRoomPx));
  for (const part of [0.5, 0.75, 0.25, 0.9, 0.1]) {
    const middle = Math.min(Math.max(part * long, half), long - half);
    const on = (share: number) => stretch.getCoordinateAt((middle + share * half) / long); // from -1 to 1 along the name
    const clear = Array.from({ length: letters + 1 }, (_, i) => on((2 * i) / letters - 1)).every((at) =>
      isFree(at, letterRoomPx, letterRoomPx, resolution),
    );
    if (clear) return new LineString([on(-1), on(1)]);
  }
  return null;
}

/** The part of a straight line that lies in sight, so far from its edge; none when it does not. */
function inSight(from: number[], to: number[], sight: Extent | undefined, margin: number): LineString[] {
  if (!sight) return [new LineString([from, to])];
  let [start, end] = [0, 1];
  for (const axis of [0, 1] as const) {
    const [a, along] = [from[axis]!, to[axis]! - from[axis]!];
    const [low, high] = [sight[axis]! + margin, sight[axis + 2]! - margin];
    if (along === 0 && (a < low || a > high)) return [];
    if (along === 0) continue;
    const [one, other] = [(low - a) / along, (high - a) / along];
    [start, end] = [Math.max(start, Math.min(one, other)), Math.min(end, Math.max(one, other))];
  }
  if (start >= end) return [];
  const part = (t: number) => [from[0]! + t * (to[0]! - from[0]!), from[1]! + t * (to[1]! - from[1]!)];
  return [new LineString([part(start), part(end)])];
}

/** An end of a line beyond which its name has room in sight, the last first, and to which side. */
function beyondAnEnd(
  geometry: Geometry,
  resolution: number,
  widthPx: number,
  isFree: IsFree,
  sight?: Extent,
): { at: Point; way: 1 | -1 } | null {
  if (!(geometry instanceof LineString)) return null;
  const [first, last] = [geometry.getFirstCoordinate(), geometry.getLastCoordinate()];
  for (const [end, other] of [
    [last, first],
    [first, last],
  ] as const) {
    const away = end[0]! >= other[0]! ? 1 : -1;
    for (const way of [away, -away] as (1 | -1)[]) {
      const middle = [end[0]! + way * (beyondPx + widthPx / 2) * resolution, end[1]!];
      const seen =
        !sight || (containsXY(sight, end[0]!, end[1]!) && containsXY(sight, end[0]! + way * (beyondPx + widthPx) * resolution, end[1]!));
      if (seen && isFree(middle, widthPx / 2, 12, resolution)) return { at: new Point(end), way };
    }
  }
  return null;
}

/** A place in sight beside a line where its name has room, clear of the line; null when there is none. */
function beside(geometry: Geometry, resolution: number, widthPx: number, isFree: IsFree, sight: Extent): Point | null {
  if (!(geometry instanceof LineString)) return null;
  const half = widthPx / 2;
  const inside = buffer(sight, -edgePx * resolution);
  const clear = ([x, y]: [number, number]) =>
    [-1, -0.5, 0, 0.5, 1].every((share) => {
      const at = [x + share * half * resolution, y];
      const [nearX = 0, nearY = 0] = geometry.getClosestPoint(at);
      return containsXY(inside, at[0]!, y) && Math.hypot(nearX - at[0]!, nearY - y) > 12 * resolution;
    }) && isFree([x, y], half, 12, resolution);
  const seen = Array.from({ length: 41 }, (_, i) => geometry.getCoordinateAt(i / 40)).filter((at) => containsXY(inside, at[0]!, at[1]!));
  const [midX, midY] = [(sight[0]! + sight[2]!) / 2, (sight[1]! + sight[3]!) / 2];
  seen.sort((a, b) => Math.hypot(a[0]! - midX, a[1]! - midY) - Math.hypot(b[0]! - midX, b[1]! - midY));
  for (const [x = 0, y = 0] of seen) {
    for (const [right, up] of [
      [0, 20],
      [0, -20],
      [half + 16, 0],
      [-half - 16, 0],
      [half, 16],
      [-half, -16],
      [half, -16],
      [-half, 16],
    ] as const) {
      const at: [number, number] = [x + right * resolution, y + up * resolution];
      if (clear(at)) return new Point(at);
    }
  }
  return null;
}

/** Places every so many units along each line or ring, the first half a step in. */
function placesAlong(geometry: Geometry, step: number): number[][] {
  const lines =
    geometry instanceof LineString
      ? [geometry]
      : geometry instanceof MultiLineString
        ? geometry.getLineStrings()
        : geometry instanceof Polygon
          ? geometry.getLinearRings().map((r) => new LineString(r.getCoordinates()))
          : geometry instanceof MultiPolygon
            ? geometry.getPolygons().flatMap((p) => p.getLinearRings().map((r) => new LineString(r.getCoordinates())))
            : [];
  return lines.flatMap((l) => {
    const n = Math.min(400, Math.max(1, Math.round(l.getLength() / step)));
    return Array.from({ length: n }, (_, i) => l.getCoordinateAt((i + 0.5) / n));
  });
}
