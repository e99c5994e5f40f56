// The map itself: the only module that drives OpenLayers' map, so that another library
// could take its place here.

import OLMap from "ol/Map.js";
import View from "ol/View.js";
import Feature from "ol/Feature.js";
import { boundingExtent, containsExtent, createEmpty, extend, getCenter, getHeight, getWidth, isEmpty } from "ol/extent.js";
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
import type { IsFree } from "../map/nameplace.ts";
import { type ItemStyle, labelBelowPx } from "../map/painter.ts";
import { dresser } from "../map/style.ts";
import { symbolPlace } from "../map/symbolplace.ts";
import { shortened, statusOf } from "../base/item.ts";
import { nearest } from "../map/pointer.ts";
import { scaleBar, type ScaleBar } from "../map/scale.ts";
import { sayWhenStill } from "../map/still.ts";
import { ink } from "../map/symbols.ts";
import { type Box, Boxes, type Shift, smallPart, type Standing, thinned, withRoom } from "./room.ts";
import { groundMetresPerUnit, onMap, referenceLongitude } from "../map/projection.ts";

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
const symbolPx = 18; // half of a symbol
const namedPx = 46; // from the middle of a symbol to beyond its name
const labelLetterPx = 9; // of a work's name, on average
const renamedPx = 40; // moved by so many, names are written again
const manyItems = 3000; // of more those that lie on each other at a resolution are not all drawn
const thinPx = 5;
const mostStyles = 4000; // kept for items that are drawn with symbol or name
/** What stands counts more than what is pegged, that more than what is planned. */
const ranks: Readonly<Record<string, number>> = { built: 1, failed: 1, pegged: 2 };
const closeResolution = 0.5; // units of map to a pixel at which dams some metres apart are apart

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
  const dress = dresser(Math.min(3, Math.max(1, window.devicePixelRatio || 1)));
  const everyone = new VectorSource<Feature<Geometry>>();
  const chosen = new VectorSource<Feature<Geometry>>();
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
  let named = createEmpty(); // what was in sight when names were last written

  const fit = (extent: number[], animate: boolean) => {
    const [width = 0] = map.getSize() ?? [];
    const pad = Math.min(64, Math.max(46, Math.round(width / 14)));
    // On a wide screen the buttons lie over the map.
    view.fit(extent, { padding: [pad, width > 600 ? pad + 60 : pad, pad, pad], minResolution: 0.15, duration: animate ? 250 : 0 });
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
    const [now, before, least] = [sight(), named, renamedPx * (view.getResolution() ?? 1)];
    if (!fitted || now.every((edge, i) => Math.abs(edge - before[i]!) < least)) return;
    named = now;
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
      const standing: Standing[] = [];
      const hazards = new Set(land.others.filter((o) => o.kind === "hazard").map((o) => o.id));
      const room = withRoom(standing);
      standAt = room;
      const features: Feature<Geometry>[] = [];
      const marks: { x: number; y: number }[] = [];
      const names = new Map<string, number>(); // half of a work's name, in pixels
      let [taken, above, takenAt] = [new Boxes(1), new Set<string>(), -1]; // by symbols and names, and whose name stands above its symbol, at a resolution
      const take = (resolution: number) => {
        if (takenAt !== resolution) {
          [taken, above, takenAt] = [new Boxes(120 * resolution), new Set(), resolution];
          const half = symbolPx * resolution;
          for (const m of marks) taken.add({ ...m, halfWidth: half, halfHeight: half });
          for (const s of standing) {
            const shift = room(s.id, resolution);
            if (!shift) continue;
            const [x, y] = [s.x + shift[0], s.y + shift[1]];
            const side = shift[2] === "small" ? half * smallPart : half;
            taken.add({ x, y, halfWidth: side, halfHeight: side });
          }
          for (const s of standing) {
            const shift = room(s.id, resolution),
              name = names.get(s.id) ?? 0;
            if (!shift || shift[2] === "small" || name === 0) continue;
            const boxAt = (offsetPx: number): Box => ({
              x: s.x + shift[0],
              y: s.y + shift[1] + offsetPx * resolution,
              halfWidth: name * resolution,
              halfHeight: 10 * resolution,
            });
            const [below, over] = [boxAt(-labelBelowPx), boxAt(labelBelowPx)];
            const isOver = taken.meets(below) && !taken.meets(over);
            if (isOver) above.add(s.id);
            taken.add(isOver ? over : below);
          }
        }
      };
      const isFree: IsFree = (at, halfWidthPx, halfHeightPx, resolution) => {
        take(resolution);
        return !taken.meets({ x: at[0]!, y: at[1]!, halfWidth: halfWidthPx * resolution, halfHeight: halfHeightPx * resolution });
      };
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
        const f = new Feature(onMap(o.geometry, near));
        const whole = (): ItemStyle =>
          dress.other(kind(o.kind), o.name ?? "", {
            attention: o.state === "attention",
            isFree,
            sight,
            room: (resolution) => room(o.id, resolution),
          });
        const small = many && !o.state && f.getGeometry() instanceof Point;
        if (small) places.push(placeOf(o.id, f.getGeometry()!));
        f.setStyle((feature, resolution) => {
          const hidden = small ? !thin(o.id, resolution) : many && o.state !== undefined && !room(o.id, resolution);
          return hidden ? [] : styleOf(o.id, whole)(feature, resolution);
        });
        extend(everything, f.getGeometry()?.getExtent() ?? createEmpty());
        features.push(f);
        if (f.getGeometry() instanceof Point) {
          const [x = 0, y = 0] = getCenter(f.getGeometry()!.getExtent());
          marks.push({ x, y });
        }
        if (o.state) {
          const [x = 0, y = 0] = getCenter(symbolPlace(f.getGeometry()!).getExtent());
          // Of symbols in each other's way works stand at their place, then heads; a triangle steps aside.
          standing.push({ id: o.id, x, y, stays: true, rank: hazards.has(o.id) ? 5 : 4, wrong: true, always: o.state === "danger" });
        }
        if (opens(o)) extend(treated, f.getGeometry()?.getExtent() ?? createEmpty());
        if (!opens(o)) continue;
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
        if (!isShown(w)) continue;
        const f = new Feature(geometry);
        const at = getCenter(symbolPlace(geometry).getExtent());
        names.set(w.id, (shortened(w.name ?? "", 22).length * labelLetterPx) / 2);
        standing.push({
          id: w.id,
          x: at[0] ?? 0,
          y: at[1] ?? 0,
          stays: w.state !== undefined || w.status !== "built",
          rank: w.state ? 0 : (ranks[w.status ?? ""] ?? 3),
          wrong: w.state !== undefined,
        });
        const wholeAt = (at: (resolution: number) => Shift | null): ItemStyle =>
          dress.work(kind(w.kind), statusOf(w), w.name ?? "", {
            attention: w.state === "attention",
            room: at,
            nameAbove: (resolution) => {
              take(resolution);
              return above.has(w.id);
            },
          });
        const whole = (): ItemStyle => wholeAt((resolution) => room(w.id, resolution));
        wholes.set(w.id, wholeAt);
        const place = (): ItemStyle => dress.work(kind(w.kind), statusOf(w), "", { attention: false, room: () => null });
        const long = Math.max(getWidth(geometry.getExtent()), getHeight(geometry.getExtent()));
        if (many) places.push({ id: w.id, x: at[0] ?? 0, y: at[1] ?? 0 });
        f.setStyle((feature, resolution) => {
          if (room(w.id, resolution)) return styleOf(w.id, whole)(feature, resolution);
          if (long < thinPx * resolution && !thin(w.id, resolution)) return [];
          return styleOf(`${w.kind} ${statusOf(w)}`, place)(feature, resolution);
        });
        drawn.set(w.id, f);
        features.push(f);
      }
      everyone.addFeatures(features);
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
      const work = id === null ? undefined : drawn.get(id);
      const geometry = work?.getGeometry();
      if (!work || !geometry) {
        chosen.changed();
        return;
      }
      const f = new Feature(geometry);
      const room = standAt;
      const at = (resolution: number): Shift => {
        const [east, north] = room(id!, resolution) ?? [0, 0];
        return [east, north];
      };
      const itself = wholes.get(id!)!(at);
      f.setStyle((feature, resolution) => [...dress.halo(geometry, at(resolution)), ...itself(feature, resolution)]);
      chosen.addFeature(f);
      if (!bringIntoView) return;
      const seen = sight();
      const [box, now] = [geometry.getExtent(), view.getResolution() ?? 1];
      const [shift, [x = 0, y = 0]] = [at(now), getCenter(symbolPlace(geometry).getExtent())];
      const around = extend(
        [...box],
        boundingExtent([-1, 1].map((way) => [x + shift[0] + way * symbolPx * now, y + shift[1] + way * namedPx * now])),
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

function pictureOf(map: OLMap, target: HTMLElement): HTMLCanvasElement | null {
  map.renderSync();
  const [width = 0, height = 0] = map.getSize() ?? [];
  const ratio = window.devicePixelRatio || 1;
  const picture = document.createElement("canvas");
  picture.width = width * ratio;
  picture.height = height * ratio;
  const pen = picture.getContext("2d");
  if (!pen || !width) return null;
  for (const canvas of target.querySelectorAll("canvas")) {
    if (!canvas.width) continue;
    pen.globalAlpha = Number(canvas.style.opacity || canvas.parentElement?.style.opacity || 1);
    const matrix = /^matrix\(([^)]*)\)/.exec(canvas.style.transform);
    const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = (matrix?.[1] ?? "").split(",").filter(Boolean).map(Number);
    pen.setTransform(a * ratio, b * ratio, c * ratio, d * ratio, e * ratio, f * ratio);
    pen.drawImage(canvas, 0, 0);
  }
  const [, northing = 0] = map.getView().getCenter() ?? [];
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  drawScaleBar(pen, scaleBar((map.getView().getResolution() ?? 1) * groundMetresPerUnit(northing), width / 3), height);
  return picture;
}

/** A picture is printed at any size, so its scale bar must be part of it. */
function drawScaleBar(pen: CanvasRenderingContext2D, bar: ScaleBar, bottom: number) {
  pen.globalAlpha = 1;
  pen.fillStyle = "#ffffff";
  pen.fillRect(0, bottom - 44, bar.px + 90, 44);
  pen.strokeStyle = ink;
  pen.lineWidth = 1.4;
  for (let i = 0; i < 4; i++) {
    pen.fillStyle = i % 2 ? "#ffffff" : ink;
    const at = [12 + (i * bar.px) / 4, bottom - 26, bar.px / 4, 10] as const;
    pen.fillRect(...at);
    pen.strokeRect(...at);
  }
  pen.fillStyle = ink;
  pen.font = "16px system-ui, sans-serif";
  pen.textBaseline = "middle";
  pen.fillText(bar.text, bar.px + 20, bottom - 20);
}
