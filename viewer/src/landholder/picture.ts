// One still picture of the map, for the printer.

import type OLMap from "ol/Map.js";
import { groundMetresPerUnit } from "../map/projection.ts";
import { scaleBar, type ScaleBar } from "../map/scale.ts";
import { ink } from "../map/symbols.ts";

/** As the map stands in its window; null while it has none. */
export function pictureOf(map: OLMap, target: HTMLElement): HTMLCanvasElement | null {
  map.renderSync();
  const [width = 0, height = 0] = map.getSize() ?? [];
  const ratio = window.devicePixelRatio;
  const picture = document.createElement("canvas");
  picture.width = width * ratio;
  picture.height = height * ratio;
  const pen = picture.getContext("2d");
  if (!pen || !width) return null;
  for (const canvas of target.querySelectorAll("canvas")) {
    if (!canvas.width) continue;
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
