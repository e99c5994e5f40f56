// How works are drawn: a symbol that tells kind and status, the line or the area of the work, and its name.

import type Geometry from "ol/geom/Geometry.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import MultiPolygon from "ol/geom/MultiPolygon.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import type Text from "ol/style/Text.js";
import { type DrawnKind, shortened, type Status } from "../base/item.ts";
import { besides, type ItemStyle, type Painter, white, written } from "./painter.ts";
import { isShifted, placesAlong, type Shift, symbolPlace, unshifted } from "./symbolplace.ts";
import { attentionMark, boxSize, ink, labelBelowPx, lineDress, symbol } from "./symbols.ts";

const labelFont = "600 15px system-ui, sans-serif";
const smallPx = 24; // of a symbol that has no room to be drawn whole
const belowWhole = 24; // small symbols lie below whole ones
const finenesses = [1, 0.7, 0.45];

/** How a page wants the symbols of works that stand close together. */
export interface Crowding {
  readonly attention: boolean; // the work needs some: told by a mark on its symbol
  /** Where its symbol and name stand at a resolution, null when they are not drawn; its place or line always is. */
  room(resolution: number): Shift | null;
  /** Whether its name stands above its symbol: below it something is in the way. */
  readonly nameAbove?: (resolution: number) => boolean;
}

export function workStyle({ icon, pattern }: Painter, kind: DrawnKind, status: Status, name: string, crowding?: Crowding): ItemStyle {
  const attention = crowding?.attention ?? false;
  const stays = crowding !== undefined || status === "failed" || status === "proposed";
  const badge = icon(
    `${kind.name}|${status}|${attention}|${stays}`,
    () => [...symbol(kind, status), ...(attention ? attentionMark : [])],
    boxSize,
    stays ? "obstacle" : "declutter",
  );
  const smallBadge = () => icon(`${kind.name}|${status}|small`, () => symbol(kind, status), smallPx, "obstacle");
  const labelAt = (offsetY: number) => (name ? written(shortened(name, 22), ink, labelFont, { offsetY }) : undefined);
  const [below, over] = [labelAt(labelBelowPx), labelAt(-labelBelowPx)];
  const dot = new Style({
    image: new CircleStyle({
      radius: 5.5,
      fill: new Fill({ color: kind.colour }),
      stroke: new StrokeStyle({ color: white, width: 2 }),
      declutterMode: "none",
    }),
    zIndex: 20,
  });
  const above = status === "failed" || attention ? 34 : 30;
  const symbolAt = (geometry: Geometry, room: Shift, isPoint: boolean, label: Text | undefined): Style[] => {
    const small = room[2] === "small";
    const [image, zIndex, text] = small ? [smallBadge(), belowWhole, undefined] : ([badge, isPoint ? above : above - 5, label] as const);
    if (isShifted(room)) return besides(geometry, room, image, zIndex, text);
    const at = isPoint ? geometry : symbolPlace(geometry);
    return [new Style({ geometry: at, image, zIndex }), ...(text ? [new Style({ geometry: at, text, zIndex: isPoint ? 19 : 18 })] : [])];
  };
  const line = byFineness((fine) => drawnLine(kind.colour, status, 12, null, fine));
  const filled = status === "proposed" || status === "removed" ? null : pattern(kind.mark ?? "", kind.colour);
  const area = byFineness((fine) => drawnLine(kind.colour, status, 6, filled, fine));
  return (f, resolution) => {
    const geometry = f.getGeometry() as Geometry;
    const room = crowding ? crowding.room(resolution) : unshifted;
    const isPoint = geometry instanceof Point || geometry instanceof MultiPoint;
    const shown = room ? symbolAt(geometry, room, isPoint, crowding?.nameAbove?.(resolution) ? over : below) : [];
    if (isPoint) return [dot, ...shown];
    const isArea = geometry instanceof Polygon || geometry instanceof MultiPolygon;
    const styles = [...(isArea ? area : line)(resolution), ...shown];
    if (lineDress[status].crosses)
      styles.push(new Style({ geometry: new MultiPoint(placesAlong(geometry, 46 * resolution)), image: cross(icon), zIndex: 15 }));
    return styles;
  };
}

const cross = (icon: Painter["icon"]) =>
  icon(
    "cross",
    () => [
      { path: "M8 8L32 32M32 8L8 32", stroke: white, width: 16 },
      { path: "M8 8L32 32M32 8L8 32", stroke: ink, width: 8 },
    ],
    14,
    "none",
  );

function drawnLine(colour: string, status: Status, zIndex: number, filled: Fill | null, fine: number): Style[] {
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
}

/** Lines get finer as the map shows more ground, so that rip lines stay apart. */
function byFineness(make: (fine: number) => Style[]): (resolution: number) => Style[] {
  const made = finenesses.map(() => null as Style[] | null);
  return (resolution) => {
    const i = resolution < 0.9 ? 0 : resolution < 1.5 ? 1 : 2;
    return (made[i] ??= make(finenesses[i] ?? 1));
  };
}
