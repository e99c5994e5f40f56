// How what is not a work is drawn: gullies, tracks, fences, gates, dangers, each with its name where there is room.

import type { Extent } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import Point from "ol/geom/Point.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import { type DrawnKind, shortened } from "../base/item.ts";
import { beside, beyondAnEnd, beyondPx, edgePx, type IsFree, straightStretch } from "./nameplace.ts";
import { besides, type ItemStyle, type Painter, placeFont, white, written } from "./painter.ts";
import { isShifted, type Shift, shifted, symbolPlace, unshifted } from "./symbolplace.ts";
import { attentionMark, boxSize, labelBelowPx } from "./symbols.ts";
import { sidewaysPx } from "./withinsight.ts";

const nameZ = 20; // above the names of works, which give way to it
const letterPx = 8; // of placeFont, on average
const widthPxOf = (name: string) => Array.from(name).length * letterPx;

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

export function surroundingStyle(
  { icon, pattern }: Painter,
  kind: DrawnKind,
  name: string,
  { attention = false, isFree = () => true, sight, named: isNamed = false, room }: Surroundings = {},
): ItemStyle {
  const stroke = (width: number, dash: number[] = []) =>
    new Style({ stroke: new StrokeStyle({ color: kind.colour, width, lineDash: dash, lineCap: "butt" }), zIndex: 1 });
  const named = (...lines: Style[]) => (name ? namedLine(kind, shortened(name, 40), lines, isFree, sight) : () => lines);
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
  const below = name ? written(short, kind.colour, placeFont, { offsetY: isNamed ? labelBelowPx : 28 }) : undefined;
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
      return named(stroke(1.5, [5, 5]), new Style({ fill: pattern(kind.mark ?? "", kind.colour), zIndex: 0 }));
    case "property-boundary":
      return named(stroke(2.5, [16, 5, 3, 5]));
    case "homestead": // read whole at the edge of what is in sight
    case "gate": {
      if (!below) return () => [dot, place];
      const label = new Style({ text: below, zIndex: 17 });
      const widthPx = widthPxOf(short) + 2 * edgePx;
      return (f, resolution) => {
        const seen = sight?.(),
          x = (symbolPlace(f.getGeometry() as Geometry) as Point).getFirstCoordinate()[0]!;
        below.setOffsetX(seen ? sidewaysPx((x - seen[0]!) / resolution, (seen[2]! - x) / resolution, widthPx) : 0);
        return [dot, place, label];
      };
    }
    default:
      return (f, resolution) => {
        const geometry = f.getGeometry() as Geometry;
        const at = room?.(resolution) ?? unshifted;
        const label = isNamed && below ? [new Style({ geometry: new Point(shifted(geometry, at)), text: below, zIndex: 17 })] : [];
        return [stroke(2), dot, ...label, ...(isShifted(at) ? besides(geometry, at, badge, above) : [place])];
      };
  }
}

/** Lines with their name along, beyond or beside them; without it where there is no room. */
function namedLine(kind: DrawnKind, name: string, lines: Style[], isFree: IsFree, sight?: () => Extent): ItemStyle {
  const text = (more: Parameters<typeof written>[3] = {}) => written(name, kind.colour, placeFont, more);
  const label = text({ placement: "line", textBaseline: "bottom", offsetY: -8, overflow: false });
  const [after, before] = [text({ textAlign: "left", offsetX: beyondPx }), text({ textAlign: "right", offsetX: -beyondPx })];
  const level = text();
  const widthPx = widthPxOf(name);
  return (f, resolution) => {
    const shape = f.getGeometry() as Geometry;
    const seen = sight?.();
    const along = straightStretch(shape, resolution, widthPx, isFree, seen);
    if (along) return [...lines, new Style({ geometry: along, text: label, zIndex: nameZ })];
    // Beyond the end of a track the next line would seem to be called so.
    const end = kind.name === "thalweg" ? beyondAnEnd(shape, resolution, widthPx, isFree, seen) : null;
    if (end) return [...lines, new Style({ geometry: end.at, text: end.way > 0 ? after : before, zIndex: nameZ })];
    const side = seen ? beside(shape, resolution, widthPx, isFree, seen) : null;
    return side ? [...lines, new Style({ geometry: side, text: level, zIndex: nameZ })] : lines;
  };
}
