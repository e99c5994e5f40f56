// The officer's map itself: with features.ts and sketch.ts the only part of the field page that
// drives OpenLayers, so that another library could take its place here.

import OLMap from "ol/Map.js";
import View from "ol/View.js";
import { boundingExtent, containsExtent, getCenter } from "ol/extent.js";
import DragPan from "ol/interaction/DragPan.js";
import KeyboardPan from "ol/interaction/KeyboardPan.js";
import KeyboardZoom from "ol/interaction/KeyboardZoom.js";
import MouseWheelZoom from "ol/interaction/MouseWheelZoom.js";
import PinchZoom from "ol/interaction/PinchZoom.js";
import PointerInteraction from "ol/interaction/Pointer.js";
import type { Feature } from "../base/entry.ts";
import type { Fix } from "../sensor/fix.ts";
import type { Place } from "../base/plane.ts";
import { crossesLayer } from "./grid.ts";
import { groundMetresPerUnit, offMap, project } from "./projection.ts";
import { sayWhenStill } from "./still.ts";
import { cleared, covered, freeMiddle, keptInSight, type Box } from "./clear.ts";
import { Drawn } from "./features.ts";
import { HereLayer } from "./here.ts";
import { nameReaches, type Scene, sceneOf, toNextWork, wholeBox } from "./scene.ts";
import { type Sketch, SketchLayer } from "./sketch.ts";
import { cornerReaches, wholeView } from "./wholeview.ts";

export interface MapEvents {
  /** A thing was tapped, or nothing. */
  picked(id: string | null): void;
  /** A place was tapped; told before picked, which is left out when this gives true. */
  tapped(at: Place, metresPerPx: number): boolean;
  moved(metresPerPx: number): void;
  /** A finger goes down: true when it drags what is drawn there, and not the map. */
  grabbed(at: Place, metresPerPx: number): boolean;
  dragged(to: Place, metresPerPx: number): void;
  dropped(): void;
}

const closestResolution = 0.02; // map units to a pixel
const placeResolution = 0.4; // when the map goes to one place
const wholeResolution = 0.15; // when it shows everything
const nearestResolution = 0.05; // when it parts works that stand close
const apartPx = 64; // between works of which the symbols and names can be told apart

export class FieldMap {
  private readonly view = new View({ center: [0, 0], zoom: 2, enableRotation: false, minResolution: closestResolution, multiWorld: true });
  private readonly drawn: Drawn;
  private readonly hereLayer = new HereLayer();
  private readonly sketchLayer = new SketchLayer();
  private readonly map: OLMap;
  private scene: Scene = sceneOf([]);
  private fitted = false;
  private forNow: string | undefined; // the view that was given while items are still to come
  private anchor: readonly number[] = [0, 0];
  private told = 0;
  private drags = false;
  private tapped: readonly number[] | undefined; // until it has been looked whether it is in sight

  /** beginsHere: the first view is of where the officer stands, once that is known. */
  constructor(
    target: HTMLElement,
    private readonly events: MapEvents,
    private beginsHere = false,
  ) {
    const ratio = Math.min(3, Math.max(1, window.devicePixelRatio));
    this.drawn = new Drawn(ratio);
    this.map = new OLMap({
      target,
      view: this.view,
      controls: [],
      interactions: [
        new DragPan(),
        new PinchZoom(),
        new KeyboardPan(),
        new KeyboardZoom(),
        new MouseWheelZoom({ onFocusOnly: true }),
        this.dragging(),
      ],
      layers: [
        crossesLayer(() => this.anchor),
        this.drawn.ring,
        this.drawn.things,
        this.drawn.chosen,
        this.sketchLayer.layer,
        this.hereLayer.layer,
      ],
    });
    this.map.on("click", (event) => this.tap(event.coordinate));
    this.map.on("moveend", () => this.look());
    this.map.on("postrender", () => this.tellScale());
    sayWhenStill(this.map, target, () => this.drawn.count());
  }

  /** boxes lie over the map, in pixels of its window. coming: more items are on their way, which are shown with these unless somebody moves the map. */
  show(features: readonly Feature[], boxes: readonly Box[], coming = false): void {
    this.scene = sceneOf(features);
    this.sketchLayer.near = this.hereLayer.near = this.scene.near;
    if ((!this.fitted || this.forNow === this.seen()) && this.fitAll(boxes, false)) {
      this.fitted = true;
      this.forNow = coming ? this.seen() : undefined;
    }
    this.look();
  }

  private seen(): string {
    return `${this.view.getCenter()} ${this.view.getResolution()}`;
  }

  /** boxes lie over the map, in pixels of its window: what is brought into view is brought beside them. */
  select(id: string | null, bringIntoView: boolean, boxes: readonly Box[]): void {
    const thing = id === null ? undefined : this.scene.things.find((t) => t.id === id);
    const extent = this.drawn.choose(thing, this.scene.near);
    if (bringIntoView) this.tapped = undefined; // it was chosen elsewhere
    if (!extent || !bringIntoView) return;
    const size = this.map.getSize() ?? [1, 1],
      padding = covered(size as [number, number], boxes);
    const [w = 0, s = 0, e = 0, n = 0] = this.view.calculateExtent(size);
    const [top, right, bottom, left] = padding.map((px) => px * (this.view.getResolution() ?? 1)) as [number, number, number, number];
    const inside = containsExtent([w + left, s + bottom, e - right, n - top], extent);
    // As close as works beside it stand clear of it.
    const apart = Math.max(nearestResolution, toNextWork(this.scene, thing!) / apartPx);
    if (inside && (this.view.getResolution() ?? 1) <= apart) return;
    this.view.fit(extent, { padding, minResolution: Math.min(apart, placeResolution), duration: 250 });
  }

  /** Shows where the officer stands; follow keeps it in sight, clear of the boxes that lie over the map. */
  here(fix: Fix | null, bearingDeg: number | undefined, follow: boolean, boxes: readonly Box[] = []): void {
    this.hereLayer.show(fix, bearingDeg);
    if (!fix) return;
    if (this.fitted && !this.beginsHere) {
      if (follow) this.keepInSight(fix, boxes);
      return;
    }
    const alone = !this.fitted && !this.beginsHere;
    if (!this.fitted) this.hereLayer.near = this.sketchLayer.near = fix.lon; // nothing on the property yet
    this.fitted = true;
    this.beginsHere = false;
    this.goTo(fix, false, follow ? boxes : []);
    if (alone) this.forNow = this.seen();
  }

  sketch(sketch: Sketch | null): void {
    this.sketchLayer.show(sketch);
    if (!this.fitted && sketch) this.lookAt(sketch.pieces.flat()); // nothing else says where the property is
  }

  /** Shows a place in the middle of what the boxes leave free of the map. */
  goTo(place: Place, smooth = true, boxes: readonly Box[] = []): void {
    const [east = 0, north = 0] = project([place.lon, place.lat], this.scene.things.length ? this.scene.near : place.lon);
    const resolution = Math.min(placeResolution, this.view.getResolution() ?? placeResolution);
    const [wide = 0, high = 0] = this.map.getSize() ?? [],
      [x, y] = freeMiddle([wide, high], boxes);
    const center = [east - (x - wide / 2) * resolution, north + (y - high / 2) * resolution];
    if (!smooth) {
      this.view.setCenter(center);
      this.view.setResolution(resolution);
      this.anchor = center;
    } else this.view.animate({ center, resolution, duration: 250 });
  }

  /** Shows some places as large as they fit, once the property has been shown. */
  lookAt(places: readonly Place[]): void {
    const near = this.scene.things.length ? this.scene.near : (places[0]?.lon ?? 0);
    const at = places.map((p) => project([p.lon, p.lat], near));
    if (at.length === 0) return;
    this.sketchLayer.near = this.hereLayer.near = near;
    this.fitted = true;
    this.anchor = at[0]!;
    this.view.fit(boundingExtent(at.map(([x, y]) => [x!, y!])), { padding: [96, 76, 96, 76], minResolution: 0.15 });
  }

  /**
   * Moves what was tapped last, or else a place, out from under what has come to lie over the
   * map and into its window; boxes are in pixels of that. Nothing moves under a finger that drags.
   */
  keepClear(boxes: readonly Box[], place: Place | null): void {
    const at = this.tapped ?? (place && project([place.lon, place.lat], this.sketchLayer.near || place.lon));
    this.tapped = undefined;
    if (this.drags || !at) return;
    this.map.updateSize();
    this.map.renderSync(); // pixels are told by what is drawn
    const size = this.map.getSize(),
      pixel = this.map.getPixelFromCoordinate([...at]);
    if (!size || !pixel) return;
    const [x, y] = pixel as [number, number];
    const to = cleared([x, y], size as [number, number], boxes);
    const [cx = 0, cy = 0] = this.view.getCenter() ?? [],
      metres = this.view.getResolution() ?? 1;
    if (to[0] !== x || to[1] !== y) this.view.animate({ center: [cx - (to[0] - x) * metres, cy + (to[1] - y) * metres], duration: 250 });
  }

  zoomBy(steps: number): void {
    this.view.animate({ zoom: (this.view.getZoom() ?? 0) + steps, duration: 200 });
  }

  /** Shows everything, and its names, clear of the boxes that lie over the map. */
  fitAll(boxes: readonly Box[], smooth = true): boolean {
    const box = wholeBox(this.scene);
    if (!box) return false;
    const extent = [...project([box.west, box.south], this.scene.near), ...project([box.east, box.north], this.scene.near)];
    const size = (this.map.getSize() ?? [1, 1]) as [number, number];
    const view = wholeView([...cornerReaches(extent), ...nameReaches(this.scene)], size, covered(size, boxes), wholeResolution);
    this.anchor = getCenter(extent);
    if (smooth) this.view.animate({ ...view, duration: 250 });
    else {
      this.view.setCenter(view.center);
      this.view.setResolution(view.resolution);
    }
    return true;
  }

  /** The place in the middle of the map, and its scale; null while the map shows no place. */
  middle(): { at: Place; metresPerPx: number } | null {
    return !this.fitted ? null : { at: offMap(this.view.getCenter() ?? [0, 0]), metresPerPx: this.metresPerPx() };
  }

  dispose(): void {
    this.map.dispose();
  }

  /** Takes what is drawn along with the finger; the tap form of it are buttons. */
  private dragging(): PointerInteraction {
    return new PointerInteraction({
      handleDownEvent: ({ coordinate }) => (this.drags = this.events.grabbed(offMap(coordinate), this.metresPerPx())),
      handleDragEvent: ({ coordinate }) => this.events.dragged(offMap(coordinate), this.metresPerPx()),
      handleUpEvent: () => {
        this.drags = false;
        this.events.dropped();
        return false;
      },
    });
  }

  private tap(at: readonly number[]): void {
    if (!this.fitted) return; // no place is shown that could be meant
    this.tapped = at;
    if (this.events.tapped(offMap(at), this.metresPerPx())) return;
    const group = this.drawn.groupAt(at, this.view.getResolution() ?? 1);
    if (group) this.view.animate({ center: group, zoom: (this.view.getZoom() ?? 0) + 2, duration: 250 });
    else this.events.picked(this.drawn.nearest(at, this.view.getResolution() ?? 1));
  }

  private keepInSight(place: Place, boxes: readonly Box[]): void {
    const size = this.map.getSize() as [number, number] | undefined;
    if (!size) return;
    const [east = 0, north = 0] = project([place.lon, place.lat], this.hereLayer.near),
      [cx = 0, cy = 0] = this.view.getCenter() ?? [],
      scale = this.view.getResolution() ?? 1;
    const [x, y] = [size[0] / 2 + (east - cx) / scale, size[1] / 2 - (north - cy) / scale];
    const to = keptInSight([x, y], size, boxes);
    if (to[0] !== x || to[1] !== y) this.view.animate({ center: [cx - (to[0] - x) * scale, cy + (to[1] - y) * scale], duration: 250 });
  }

  private look(): void {
    const size = this.map.getSize();
    if (size) this.drawn.look(this.scene, this.view.calculateExtent(size), this.view.getResolution() ?? 1);
  }

  private metresPerPx(): number {
    const [, northing = 0] = this.view.getCenter() ?? [];
    return (this.view.getResolution() ?? 1) * groundMetresPerUnit(northing);
  }

  private tellScale(): void {
    const now = this.metresPerPx();
    if (this.fitted && Math.abs(now - this.told) > this.told * 1e-4) this.events.moved((this.told = now));
  }
}
