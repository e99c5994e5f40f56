// A line or area that is being walked or tapped, above everything else on the map.

import OLFeature from "ol/Feature.js";
import type Geometry from "ol/geom/Geometry.js";
import LineString from "ol/geom/LineString.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorSource from "ol/source/Vector.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import type { Place } from "../base/plane.ts";
import { project } from "./projection.ts";

/** What is drawn: pieces with nothing between them, and for an area the side that closes it. */
export interface Sketch {
  readonly pieces: readonly (readonly Place[])[];
  readonly area: boolean;
  readonly closed: boolean;
  readonly chosen: Place | null;
  readonly fault: Place | null; // where a boundary crosses itself
}

const colour = "#7a1470";
const white = "#ffffff";
const stroke = (color: string, width: number, lineDash: number[] = []) =>
  new Style({ stroke: new StrokeStyle({ color, width, lineDash, lineCap: "round" }) });
const line = [stroke(white, 8), stroke(colour, 4)];
const inside = new Style({ fill: new Fill({ color: "rgba(122, 20, 112, 0.10)" }) });
const closing = [stroke(white, 6), stroke(colour, 3, [1, 8])];
const gap = [stroke(white, 6), stroke("#8a1212", 3, [2, 9])];
const dot = (radius: number, fill: string, width: number) =>
  new Style({ image: new CircleStyle({ radius, fill: new Fill({ color: fill }), stroke: new StrokeStyle({ color: colour, width }) }) });
const vertex = dot(5, white, 2.5);
const chosen = dot(13, "rgba(255, 200, 40, 0.6)", 4);
const fault = new Style({ image: new CircleStyle({ radius: 18, stroke: new StrokeStyle({ color: "#8a1212", width: 5 }) }) });
/** Beyond so many, dots would hide the line and cost a frame. */
const mostDots = 250;

export class SketchLayer {
  near = 0;
  private readonly source = new VectorSource<OLFeature<Geometry>>();
  readonly layer = new VectorLayer({ source: this.source, updateWhileInteracting: false });

  show(sketch: Sketch | null): void {
    this.source.clear(true);
    if (sketch) this.source.addFeatures(this.features(sketch));
    else this.source.changed();
  }

  private features(sketch: Sketch): OLFeature<Geometry>[] {
    const near = this.near || (sketch.pieces[0]?.[0]?.lon ?? 0);
    const at = (p: Place) => project([p.lon, p.lat], near);
    const made = (geometry: Geometry, style: Style | Style[]) => {
      const f = new OLFeature(geometry);
      f.setStyle(style);
      return f;
    };
    const pieces = sketch.pieces.filter((p) => p.length > 0).map((p) => p.map(at));
    const all = pieces.flat();
    const out: OLFeature<Geometry>[] = [];
    if (sketch.area && all.length > 2) {
      if (sketch.closed) out.push(made(new Polygon([[...all, all[0]!]]), [inside, ...line]));
      else out.push(made(new LineString([all[all.length - 1]!, all[0]!]), closing));
    }
    pieces.forEach((piece, i) => {
      const before = pieces[i - 1];
      if (before) out.push(made(new LineString([before[before.length - 1]!, piece[0]!]), gap));
      if (piece.length > 1) out.push(made(new LineString(piece), line));
    });
    if (all.length <= mostDots) out.push(made(new MultiPoint(all), vertex));
    else out.push(made(new MultiPoint([all[0]!, all[all.length - 1]!]), vertex));
    if (sketch.chosen) out.push(made(new Point(at(sketch.chosen)), chosen));
    if (sketch.fault) out.push(made(new Point(at(sketch.fault)), fault));
    return out;
  }
}
