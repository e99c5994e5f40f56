// How items are drawn on one screen: works, what surrounds them, and a ring round what is chosen.

import type Geometry from "ol/geom/Geometry.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import Point from "ol/geom/Point.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import type { DrawnKind, Status } from "../base/item.ts";
import { type ItemStyle, painter } from "./painter.ts";
import { type Surroundings, surroundingStyle } from "./surroundings.ts";
import { type Shift, shifted, unshifted } from "./symbolplace.ts";
import { ink } from "./symbols.ts";
import { type Crowding, workStyle } from "./workstyle.ts";

export interface Dresser {
  work(kind: DrawnKind, status: Status, name: string, crowding?: Crowding): ItemStyle;
  other(kind: DrawnKind, name: string, how?: Surroundings): ItemStyle;
  /** Round the symbol of what is chosen, where it stands. */
  halo(geometry: Geometry, shift?: Shift): Style[];
}

/** Makes styles for one screen; symbols and patterns are painted once and kept. */
export function dresser(ratio: number): Dresser {
  const paint = painter(ratio);
  return {
    work: (kind, status, name, crowding) => workStyle(paint, kind, status, name, crowding),
    other: (kind, name, how) => surroundingStyle(paint, kind, name, how),
    halo,
  };
}

function halo(geometry: Geometry, shift = unshifted): Style[] {
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
}
