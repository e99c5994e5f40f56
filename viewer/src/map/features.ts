// The things that are on the map, as layers of OpenLayers: those in sight in one still
// picture that is moved as a whole, the chosen one above it.

import OLFeature from "ol/Feature.js";
import { buffer, containsExtent, createEmpty, type Extent, getCenter, getHeight, getWidth } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import Point from "ol/geom/Point.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorImageLayer from "ol/layer/VectorImage.js";
import VectorSource from "ol/source/Vector.js";
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import StrokeStyle from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import { type Feature, kindOf, placeOf, textOf } from "../base/entry.ts";
import { kindNamed } from "../base/kinds.ts";
import { isPhoto } from "../base/names.ts";
import type { ItemStyle } from "./painter.ts";
import { type Dresser, dresser } from "./style.ts";
import { closeEnoughPx, nearest } from "./pointer.ts";
import { statusOf } from "../base/item.ts";
import { offMap, onMap, project } from "./projection.ts";
import type { Surroundings } from "./surroundings.ts";
import { symbolPlace } from "./symbolplace.ts";
import { ink } from "./symbols.ts";
import { Taken } from "./taken.ts";
import { type Group, inSight, namesUpTo, type Scene } from "./scene.ts";

/** How much more than the screen is drawn, so that a short pan shows no edge. */
const pictureRatio = 1.5;
/** Moved by so many, names of lines are written again, where they are in sight. */
const renamedPx = 40;

export class Drawn {
  private readonly everyone = new VectorSource<OLFeature<Geometry>>();
  private readonly one = new VectorSource<OLFeature<Geometry>>();
  private readonly under = new VectorSource<OLFeature<Geometry>>();
  /** Round the chosen one, below all others: none is hidden by it. */
  readonly ring = new VectorLayer({ source: this.under });
  readonly things = new VectorImageLayer({ source: this.everyone, declutter: true, imageRatio: pictureRatio });
  readonly chosen = new VectorLayer({ source: this.one });
  private readonly dress: Dresser;
  private readonly styles = new Map<string, ItemStyle>();
  private shown = new Map<Feature, OLFeature<Geometry>>();
  private groups: OLFeature<Point>[] = [];
  private sight: Extent = createEmpty(); // of which names of lines are written
  private taken = takenBy(new Map());
  private readonly around: Surroundings = { isFree: (...box) => this.taken.isFree(...box), sight: () => this.sight };
  private drawnFor: { scene: Scene; extent: Extent; resolution: number } | null = null;

  constructor(ratio: number) {
    this.dress = dresser(ratio);
  }

  /** Draws what the scene has in an extent of the map, and round it. */
  look(scene: Scene, extent: Extent, resolution: number): void {
    const { drawnFor, sight } = this;
    if (drawnFor?.resolution !== resolution || extent.some((edge, i) => Math.abs(edge - sight[i]!) >= renamedPx * resolution)) {
      this.sight = extent;
      if (this.shown.size <= namesUpTo) this.everyone.changed();
    }
    if (drawnFor && drawnFor.scene === scene && drawnFor.resolution === resolution && containsExtent(drawnFor.extent, extent)) return;
    const wide = buffer(extent, (Math.max(getWidth(extent), getHeight(extent)) * (pictureRatio - 1)) / 2);
    this.drawnFor = { scene, extent: wide, resolution };
    const { alone, groups } = inSight(scene, boxOf(wide), degreesPerUnit * resolution);
    const named = alone.length <= namesUpTo;
    const next = new Map<Feature, OLFeature<Geometry>>();
    const fresh: OLFeature<Geometry>[] = [];
    for (const thing of alone) {
      let f = this.shown.get(thing);
      if (!f || f.get("named") !== named) {
        f = new OLFeature(f?.getGeometry() ?? onMap(placeOf(thing)!, scene.near));
        f.set("named", named, true);
        f.setStyle(this.styleOf(thing, named));
        fresh.push(f);
      }
      next.set(thing, f);
    }
    const stays = new Set(next.values());
    const gone = [...this.shown.values()].filter((f) => !stays.has(f));
    this.shown = next;
    this.taken = takenBy(named ? next : new Map());
    if (gone.length > 200 || this.groups.length || groups.length) {
      this.everyone.clear(true);
      this.groups = groups.map((g) => groupFeature(g, scene.near));
      this.everyone.addFeatures([...next.values(), ...this.groups]);
    } else {
      gone.forEach((f) => this.everyone.removeFeature(f));
      this.everyone.addFeatures(fresh);
    }
  }

  /** "12 4": things drawn by themselves, and groups. */
  count(): string {
    return `${this.shown.size} ${this.groups.length}`;
  }

  /** Marks a thing as the chosen one; its extent, if it has a place. */
  choose(thing: Feature | undefined, near: number): Extent | null {
    this.one.clear();
    this.under.clear();
    if (!thing) return null;
    const geometry = onMap(placeOf(thing)!, near);
    const [f, ring] = [new OLFeature(geometry), new OLFeature(geometry)];
    f.setStyle(this.styleOf(thing, true));
    ring.setStyle(this.dress.halo(geometry));
    this.one.addFeature(f);
    this.under.addFeature(ring);
    return geometry.getExtent();
  }

  /** The thing whose place, line, symbol or area lies under the finger; the nearest wins. */
  nearest(at: readonly number[], resolution: number): string | null {
    return nearest(this.shown, at, resolution)?.id ?? null;
  }

  groupAt([x = 0, y = 0]: readonly number[], resolution: number): number[] | null {
    for (const group of this.groups) {
      const [gx = 0, gy = 0] = group.getGeometry()!.getCoordinates();
      if (Math.hypot(gx - x, gy - y) <= closeEnoughPx * resolution) return [gx, gy];
    }
    return null;
  }

  private styleOf(thing: Feature, named: boolean): ItemStyle {
    const kind = kindNamed(kindOf(thing));
    if (kind.name === "visit") return isPhoto(thing) ? photoStyle : visitStyle;
    const status = statusOf({ status: textOf(thing, "status") });
    const name = named ? textOf(thing, "name") : "";
    const key = `${kind.name}|${status}|${name}`;
    let style = this.styles.get(key);
    if (!style) {
      style = kind.work ? this.dress.work(kind, status, name) : this.dress.other(kind, name, this.around);
      if (this.styles.size > 500) this.styles.clear();
      this.styles.set(key, style);
    }
    return style;
  }
}

/** What symbols take of the map, as if none gave way. Names of works give way to those of lines, which are fewer. */
function takenBy(shown: ReadonlyMap<Feature, OLFeature<Geometry>>): Taken {
  const points = [...shown].flatMap(([thing, f]) => {
    const geometry = f.getGeometry()!;
    if (!kindNamed(kindOf(thing)).work && !(geometry instanceof Point)) return [];
    const [x = 0, y = 0] = getCenter(symbolPlace(geometry).getExtent());
    return [{ x, y }];
  });
  return new Taken(() => null, [], points, new Map());
}

/** Visits and photos are many and lie beside what they are of: small, a ring and a square. */
const small = (image: CircleStyle | RegularShape): ItemStyle => {
  const style = [new Style({ image, zIndex: 30 })];
  return () => style;
};
const visitStyle = small(
  new CircleStyle({
    radius: 6,
    fill: new Fill({ color: "#ffffff" }),
    stroke: new StrokeStyle({ color: kindNamed("visit").colour, width: 3 }),
    declutterMode: "none",
  }),
);
const photoStyle = small(
  new RegularShape({
    points: 4,
    radius: 9,
    angle: Math.PI / 4,
    fill: new Fill({ color: kindNamed("photo-point").colour }),
    stroke: new StrokeStyle({ color: "#ffffff", width: 2 }),
    declutterMode: "none",
  }),
);

const degreesPerUnit = offMap([1, 0]).lon;

/** West and east are not turned into ±180: the boxes of a scene lie round its own longitude. */
function boxOf([w = 0, s = 0, e = 0, n = 0]: Extent) {
  return { west: w * degreesPerUnit, south: offMap([0, s]).lat, east: e * degreesPerUnit, north: offMap([0, n]).lat };
}

function groupFeature(group: Group, near: number): OLFeature<Point> {
  const f = new OLFeature(new Point(project([group.lon, group.lat], near)));
  const text = group.count < 1000 ? `${group.count}` : `${Math.round(group.count / 100) / 10}k`;
  f.setStyle(
    new Style({
      image: new CircleStyle({
        radius: 21,
        fill: new Fill({ color: "#ffffff" }),
        stroke: new StrokeStyle({ color: ink, width: 2.5 }),
        declutterMode: "none",
      }),
      text: new Text({ text, font: "600 15px system-ui, sans-serif", fill: new Fill({ color: ink }) }),
      zIndex: 40,
    }),
  );
  return f;
}
