// Symbols and patterns painted once for one screen, and how a symbol and a name stand on the map.

import type { FeatureLike } from "ol/Feature.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import Fill from "ol/style/Fill.js";
import Icon from "ol/style/Icon.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text, { type Options } from "ol/style/Text.js";
import { type Shift, shifted, unshifted } from "./symbolplace.ts";
import { boxSize, ink, markInset, type Stroke } from "./symbols.ts";

/** How an item is drawn at a resolution. */
export type ItemStyle = (f: FeatureLike, resolution: number) => Style[];

export const white = "#ffffff";
export const placeFont = "italic 17px Georgia, 'Times New Roman', serif";

/** A name, with a white edge that keeps it off what lies below. */
export const written = (text: string, color: string, font: string, more: Options = {}): Text =>
  new Text({ text, font, fill: new Fill({ color }), stroke: new StrokeStyle({ color: white, width: 4 }), ...more });

/** A symbol beside its place, with a line to it. */
export function besides(geometry: Geometry, shift: Shift, image: Icon, zIndex: number, label?: Text): Style[] {
  const [from, to] = [shifted(geometry, unshifted), shifted(geometry, shift)];
  const leader = (color: string, width: number, z: number) =>
    new Style({ geometry: new LineString([from, to]), stroke: new StrokeStyle({ color, width }), zIndex: z });
  const at = new Point(to);
  return [
    leader(white, 4, 21),
    leader(ink, 1.5, 22),
    new Style({ geometry: at, image, zIndex }),
    ...(label ? [new Style({ geometry: at, text: label, zIndex: 19 })] : []),
  ];
}

/** A symbol that gives way is left out where another stands; one that stays keeps names off it. */
type Room = "declutter" | "obstacle" | "none";

export interface Painter {
  /** The symbol of this key; strokes are asked for once. */
  readonly icon: (key: string, strokes: () => Stroke[], size: number, room: Room) => Icon;
  /** Fills an area with a mark on a pale ground. */
  readonly pattern: (mark: string, colour: string) => Fill;
}

/** ratio: pixels of the screen to one of CSS. */
export function painter(ratio: number): Painter {
  const icons = new Map<string, Icon>();
  const fills = new Map<string, Fill>();
  return {
    icon: (key, strokes, size, declutterMode) =>
      once(icons, key, () => new Icon({ img: painted(strokes(), size, ratio), scale: 1 / ratio, declutterMode })),
    pattern: (mark, colour) => once(fills, `${mark}|${colour}`, () => patterned(mark, colour, ratio)),
  };
}

function once<T>(made: Map<string, T>, key: string, make: () => T): T {
  let one = made.get(key);
  if (one === undefined) made.set(key, (one = make()));
  return one;
}

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

function patterned(mark: string, colour: string, ratio: number): Fill {
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
}
