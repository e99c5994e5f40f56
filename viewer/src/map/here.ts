// Where the officer stands, with a ring as wide as the position is doubtful, and a beak in
// the direction the phone points.

import OLFeature from "ol/Feature.js";
import type Geometry from "ol/geom/Geometry.js";
import Circle from "ol/geom/Circle.js";
import Point from "ol/geom/Point.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorSource from "ol/source/Vector.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import type { Fix } from "../sensor/fix.ts";
import { groundMetresPerUnit, project } from "./projection.ts";
import { ink } from "./symbols.ts";

const blue = "#0a4fa3";

const ringStyle = [
  new Style({ stroke: new StrokeStyle({ color: "#ffffff", width: 5 }) }),
  new Style({ stroke: new StrokeStyle({ color: blue, width: 3 }), fill: new Fill({ color: "rgba(10, 79, 163, 0.12)" }) }),
];
const dotStyle = new Style({
  image: new CircleStyle({ radius: 9, fill: new Fill({ color: blue }), stroke: new StrokeStyle({ color: "#ffffff", width: 3 }) }),
  zIndex: 3,
});

export class HereLayer {
  near = 0;
  private readonly source = new VectorSource<OLFeature<Geometry>>();
  readonly layer = new VectorLayer({ source: this.source });

  show(fix: Fix | null, bearingDeg?: number): void {
    this.source.clear(true);
    if (!fix) return this.source.changed();
    const at = project([fix.lon, fix.lat], this.near || fix.lon);
    const ring = new OLFeature<Geometry>(new Circle(at, fix.accuracyM / groundMetresPerUnit(at[1])));
    ring.setStyle(ringStyle);
    const dot = new OLFeature<Geometry>(new Point(at));
    dot.setStyle(bearingDeg === undefined ? dotStyle : [beak(bearingDeg), dotStyle]);
    this.source.addFeatures([ring, dot]);
  }
}

function beak(bearingDeg: number): Style {
  return new Style({
    image: new RegularShape({
      points: 3,
      radius: 9,
      displacement: [0, 16],
      rotation: (bearingDeg * Math.PI) / 180,
      fill: new Fill({ color: ink }),
      stroke: new StrokeStyle({ color: "#ffffff", width: 2 }),
    }),
    zIndex: 2,
  });
}
