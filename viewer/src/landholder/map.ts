// The map itself: the only module that drives OpenLayers' map, so that another library
// could take its place here.

import OLMap from "ol/Map.js";
import View from "ol/View.js";
import Feature from "ol/Feature.js";
import { boundingExtent, containsExtent, containsXY, createEmpty, extend, getCenter, getHeight, getWidth, isEmpty } from "ol/extent.js";
import type Geometry from "ol/geom/Geometry.js";
import Point from "ol/geom/Point.js";
import DoubleClickZoom from "ol/interaction/DoubleClickZoom.js";
import DragPan from "ol/interaction/DragPan.js";
import KeyboardPan from "ol/interaction/KeyboardPan.js";
import KeyboardZoom from "ol/interaction/KeyboardZoom.js";
import MouseWheelZoom from "ol/interaction/MouseWheelZoom.js";
import PinchZoom from "ol/interaction/PinchZoom.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorImageLayer from "ol/layer/VectorImage.js";
import VectorSource from "ol/source/Vector.js";
import { isWhole, type Item, kindIndex, type Land, opens } from "./land.ts";
import { crossesLayer } from "../map/grid.ts";
import type { ItemStyle } from "../map/painter.ts";
import { dresser } from "../map/style.ts";
import { shortened, statusOf } from "../base/item.ts";
import { nearest } from "../map/pointer.ts";
import { sayWhenStill } from "../map/still.ts";
import { pictureOf } from "./picture.ts";
import { type Shift, symbolPlace } from "../map/symbolplace.ts";
import { type Standing, thinned, withRoom } from "../map/room.ts";
import { symbolPx, Taken } from "../map/taken.ts";
import { groundMetresPerUnit, onMap, referenceLongitude } from "../map/projection.ts";
import { cornerReaches, halfNamePx, nameReach, wholeView } from "../map/wholeview.ts";

export interface LandMap {
  /** Draws the land again; the view stays unless this is the first land with places. */
  show(land: Land, isShown: (work: Item) => boolean): void;
  select(id: string | null, bringIntoView: boolean): void;
  zoomBy(steps: number): void;
  fitAll(): void;
  /** One still picture of the whole property, for the printer. */
  picture(): HTMLCanvasElement | null;
  dispose(): void;
}

export interface MapEvents {
  picked(id: string | null): void;
  moved(groundMetresPerPx: number): void;
}

const closestResolution = 0.05;
const namedPx = 46; // from the middle of a symbol to beyond its name
const renamedPx = 40; // moved by so many, names are written again
const manyItems = 3000; // of more those that lie on each other at a resolution are not all drawn
const thinPx = 5;
const mostStyles = 4000; // kept for items that are drawn with symbol or name
/** What stands counts more than what is pegged, that more than what is planned. */
const ranks: Readonly<Record<string, number>> = { built: 1, failed: 1, pegged: 2 };
const closeResolution = 0.5; // units of map to a pixel at which dams some metres apart are apart

const gullyKinds = new Set(["thalweg", "gully-edge"]);
const inGullyM = 25; // from its bed or edge to a work in it: a wide gully, and a position by GPS

/** Whether a work there lies in a gully, by its bed or its edge. */
function standsIn(gully: Geometry, { x, y }: { readonly x: number; readonly y: number }): boolean {
  const [nearX = 0, nearY = 0] = gully.getClosestPoint([x, y]);
  return Math.hypot(nearX - x, nearY - y) * groundMetresPerUnit(y) <= inGullyM;
}

interface Symbol {
  id: string;
  x: number;
  y: number;
  over: boolean; // drawn over all others
}

/** The symbol under a finger: what is drawn over the others first, then the nearest. */
function symbolAt(symbols: Iterable<Symbol>, at: readonly number[], resolution: number): string | null {
  let best: string | null = null;
  let least = Infinity;
  for (const s of symbols) {
    const px = Math.hypot(s.x - at[0]!, s.y - at[1]!) / resolution;
    const rank = s.over ? px - symbolPx : px;
    if (px <= symbolPx && rank < least) [best, least] = [s.id, rank];
  }
  return best;
}

export function landMap(target: HTMLElement, events: MapEvents): LandMap {
  const dress = dresser(Math.min(3, Math.max(1, window.devicePixelRatio)));
  const everyone = new VectorSource<Feature<Geometry>>();
  const chosen = new VectorSource<Feature<Geometry>>();
  const ring = new VectorSource<Feature<Geometry>>(); // round what is chosen
  let anchor: number[] = [0, 0]; // middle of the property
  const view = new View({ center: [0, 0], zoom: 3, enableRotation: false, minResolution: closestResolution, multiWorld: true });
  const map = new OLMap({
    target,
    view,
    controls: [],
    interactions: [
      new DragPan(),
      new PinchZoom(),
      new DoubleClickZoom(),
      new KeyboardPan(),
      new KeyboardZoom(),
      new MouseWheelZoom({ onFocusOnly: true }),
    ],
    layers: [
      crossesLayer(() => anchor),
      // One layer, or names of gullies and symbols of works would be written over each other.
      new VectorLayer({ source: ring }), // below all, so that it hides none
      new VectorImageLayer({ source: everyone, declutter: true, imageRatio: 1.2 }),
      new VectorLayer({ source: chosen }),
    ],
  });
  let everything = createEmpty();
  let treated = createEmpty(); // what is opened with: where the works are
  let fitted = false;
  let fittedTo: { center: string; resolution: number | undefined } | null = null; // the view as it was set here, while more comes
  let drawn = new Map<string, Feature<Geometry>>();
  let wholes = new Map<string, (room: (resolution: number) => Shift) => ItemStyle>(); // with symbol and name whatever stands there
  let standAt: (id: string, resolution: number) => Shift | null = () => null;
  let symbols: () => Iterable<Symbol> = () => [];
  let writtenFor = createEmpty(); // what was in sight when names were last written
  let named: { id: string; x: number; y: number; name: string }[] = []; // works with a name

  const fit = (extent: number[], animate: boolean) => {
    const [width = 0, height = 0] = map.getSize() ?? [];
    const pad = Math.min(64, Math.max(46, Math.round(width / 14)));
    const reaches = named.flatMap(({ x, y, name }) => (containsXY(extent, x, y) ? [nameReach(x, y, name, pad)] : []));
    // On a wide screen the buttons lie over the map.
    const margins = [pad, width > 600 ? pad + 60 : pad, pad, pad] as const;
    const whole = wholeView([...cornerReaches(extent), ...reaches], [width, height], margins, 0.15);
    if (animate) view.animate({ ...whole, duration: 250 });
    else {
      view.setCenter(whole.center);
      view.setResolution(whole.resolution);
    }
  };
  const fitAll = (animate: boolean) => {
    if (!isEmpty(everything)) fit(everything, animate);
  };

  map.on("singleclick", (event) => {
    const resolution = view.getResolution() ?? 1;
    events.picked(symbolAt(symbols(), event.coordinate, resolution) ?? nearest(drawn, event.coordinate, resolution));
  });
  // Names are written along what is in sight of their lines.
  const sight = () => view.calculateExtent(map.getSize() ?? [1, 1]);
  map.on("moveend", () => {
    const [now, before, least] = [sight(), writtenFor, renamedPx * (view.getResolution() ?? 1)];
    if (!fitted || now.every((edge, i) => Math.abs(edge - before[i]!) < least)) return;
    writtenFor = now;
    if (!isEmpty(before)) everyone.changed(); // the first names are as good as new
  });
  map.once("rendercomplete", () => performance.mark("map drawn"));
  sayWhenStill(map, target, () => String(drawn.size));
  let told = 0;
  map.on("postrender", () => {
    const [, northing = 0] = view.getCenter() ?? [];
    const metresPerPx = (view.getResolution() ?? 1) * groundMetresPerUnit(northing);
    // Dragging north changes it too, by less than anyone can see on the scale bar.
    if (fitted && Math.abs(metresPerPx - told) > told * 1e-4) events.moved((told = metresPerPx));
  });

  return {
    show(land, isShown) {
      const kind = kindIndex(land);
      const near = referenceLongitude([...land.works, ...land.others].map((item) => item.geometry));
      everything = createEmpty();
      treated = createEmpty();
      everyone.clear(true);
      drawn = new Map();
      wholes = new Map();
      named = [];
      const standing: Standing[] = [];
      const hazards = new Set(land.others.filter((o) => o.kind === "hazard").map((o) => o.id));
      const room = withRoom(standing);
      standAt = room;
      const features: Feature<Geometry>[] = [];
      const points: { x: number; y: number }[] = [];
      const gullies: Geometry[] = [];
      const stand: { x: number; y: number }[] = []; // works
      const names = new Map<string, number>();
      const taken = new Taken(room, standing, points, names);
      const { isFree } = taken;
      symbols = function* () {
        const resolution = view.getResolution() ?? 1;
        for (const s of standing) {
          const shift = room(s.id, resolution);
          if (shift) yield { id: s.id, x: s.x + shift[0], y: s.y + shift[1], over: hazards.has(s.id) };
        }
      };
      const many = land.works.length + land.others.length > manyItems;
      const places: { id: string; x: number; y: number }[] = [];
      const thin = many ? thinned(places, thinPx) : () => true;
      const styles = new Map<string, ItemStyle>();
      const styleOf = (key: string, make: () => ItemStyle): ItemStyle => {
        let style = styles.get(key);
        if (!style) {
          if (styles.size > mostStyles) styles.clear();
          styles.set(key, (style = make()));
        }
        return style;
      };
      for (const o of land.others) {
        if (!o.geometry) continue;
        const geometry = onMap(o.geometry, near);
        const isPoint = geometry instanceof Point;
        const f = new Feature(geometry);
        const whole = (): ItemStyle =>
          dress.other(kind(o.kind), o.name ?? "", {
            attention: o.state === "attention",
            isFree,
            sight,
            room: (resolution) => room(o.id, resolution),
          });
        const small = many && !o.state && isPoint;
        if (small) places.push(placeOf(o.id, geometry));
        f.setStyle((feature, resolution) => {
          const hidden = small ? !thin(o.id, resolution) : many && o.state !== undefined && !room(o.id, resolution);
          return hidden ? [] : styleOf(o.id, whole)(feature, resolution);
        });
        extend(everything, geometry.getExtent());
        features.push(f);
        if (gullyKinds.has(o.kind)) gullies.push(geometry);
        if (isPoint) points.push(placeOf(o.id, geometry));
        if (o.state) {
          // Of symbols in each other's way works stand at their place, then heads; a triangle steps aside.
          standing.push({
            ...placeOf(o.id, symbolPlace(geometry)),
            stays: true,
            rank: hazards.has(o.id) ? 5 : 4,
            wrong: true,
            always: o.state === "danger",
          });
        }
        if (!opens(o)) continue;
        extend(treated, geometry.getExtent());
        drawn.set(o.id, f);
        wholes.set(o.id, (at) =>
          dress.other(kind(o.kind), o.name ?? "", { attention: o.state === "attention", isFree, sight, named: true, room: at }),
        );
      }
      for (const w of land.works) {
        if (!w.geometry) continue;
        const geometry = onMap(w.geometry, near);
        extend(everything, geometry.getExtent());
        extend(treated, geometry.getExtent());
        const place = placeOf(w.id, symbolPlace(geometry));
        stand.push(place);
        if (!isShown(w)) continue;
        const f = new Feature(geometry);
        const name = shortened(w.name ?? "", 22);
        names.set(w.id, halfNamePx(name));
        if (!many) named.push({ ...place, name });
        standing.push({
          ...place,
          stays: w.state !== undefined || w.status !== "built",
          rank: w.state ? 0 : (ranks[w.status ?? ""] ?? 3),
          wrong: w.state !== undefined,
        });
        const wholeAt = (at: (resolution: number) => Shift | null): ItemStyle =>
          dress.work(kind(w.kind), statusOf(w), w.name ?? "", {
            attention: w.state === "attention",
            room: at,
            nameAbove: (resolution) => taken.isNameAbove(w.id, resolution),
          });
        const whole = (): ItemStyle => wholeAt((resolution) => room(w.id, resolution));
        wholes.set(w.id, wholeAt);
        const bare = (): ItemStyle => dress.work(kind(w.kind), statusOf(w), "", { attention: false, room: () => null });
        const long = Math.max(getWidth(geometry.getExtent()), getHeight(geometry.getExtent()));
        if (many) places.push(place);
        f.setStyle((feature, resolution) => {
          if (room(w.id, resolution)) return styleOf(w.id, whole)(feature, resolution);
          if (long < thinPx * resolution && !thin(w.id, resolution)) return [];
          return styleOf(`${w.kind} ${statusOf(w)}`, bare)(feature, resolution);
        });
        drawn.set(w.id, f);
        features.push(f);
      }
      everyone.addFeatures(features);
      // A gully with works in it is shown from end to end.
      for (const gully of many ? [] : gullies) if (stand.some((work) => standsIn(gully, work))) extend(treated, gully.getExtent());
      // As long as more comes and nobody has moved the map, all of it is brought into sight.
      const untouched = fittedTo !== null && fittedTo.center === String(view.getCenter()) && fittedTo.resolution === view.getResolution();
      if ((!fitted || untouched) && !isEmpty(everything)) {
        if (!fitted) anchor = getCenter(everything);
        fitted = true;
        fit(isEmpty(treated) ? everything : treated, false);
        fittedTo = isWhole(land) ? null : { center: String(view.getCenter()), resolution: view.getResolution() };
      }
    },
    select(id, bringIntoView) {
      chosen.clear(true);
      ring.clear();
      if (id === null) return;
      const geometry = drawn.get(id)?.getGeometry();
      if (!geometry) return;
      const f = new Feature(geometry);
      const room = standAt;
      const at = (resolution: number): Shift => {
        const [east, north] = room(id, resolution) ?? [0, 0];
        return [east, north];
      };
      f.setStyle(wholes.get(id)!(at));
      chosen.addFeature(f);
      const round = new Feature(geometry);
      round.setStyle((_, resolution) => dress.halo(geometry, at(resolution)));
      ring.addFeature(round);
      if (!bringIntoView) return;
      const seen = sight();
      const [box, now] = [geometry.getExtent(), view.getResolution() ?? 1];
      const aside = Math.max(symbolPx, halfNamePx(named.find((n) => n.id === id)?.name ?? ""));
      const [shift, [x = 0, y = 0]] = [at(now), getCenter(symbolPlace(geometry).getExtent())];
      const around = extend(
        [...box],
        boundingExtent([-1, 1].map((way) => [x + shift[0] + way * aside * now, y + shift[1] + way * namedPx * now])),
      );
      const inside = containsExtent(seen, around);
      const close = Math.min(view.getResolution() ?? 1, closeResolution);
      if (!inside || close < (view.getResolution() ?? 1))
        view.animate({ resolution: close, center: [(box[0]! + box[2]!) / 2, (box[1]! + box[3]!) / 2], duration: 250 });
    },
    zoomBy(steps) {
      view.animate({ zoom: (view.getZoom() ?? 0) + steps, duration: 200 });
    },
    fitAll: () => fitAll(true),
    picture() {
      // As wide as a sheet whatever the screen is, and of the whole property.
      const center = view.getCenter();
      const resolution = view.getResolution();
      Object.assign(target.style, { width: "1000px", height: "820px", maxHeight: "none" });
      map.updateSize();
      fitAll(false);
      const picture = pictureOf(map, target);
      Object.assign(target.style, { width: "", height: "", maxHeight: "" });
      map.updateSize();
      if (center) view.setCenter(center);
      view.setResolution(resolution);
      return picture;
    },
    dispose: () => map.setTarget(undefined),
  };
}

function placeOf(id: string, geometry: Geometry): { id: string; x: number; y: number } {
  const [x = 0, y = 0] = getCenter(geometry.getExtent());
  return { id, x, y };
}
