// Small crosses at round distances under the map, as on a survey plan: a reader can judge
// distance anywhere by them, without a basemap.

import Layer from "ol/layer/Layer.js";
import { groundMetresPerUnit } from "./projection.ts";
import { roundBelow } from "./scale.ts";

const colour = "#8d8a7e";
const armPx = 5;
const apartPx = 140;

/** Distance between crosses on the ground at this many metres to a pixel. */
export function crossesApart(groundMetresPerPx: number): number {
  return roundBelow(groundMetresPerPx * apartPx);
}

/** A layer of crosses of which one lies on the anchor, so that they stay put when the map moves. */
export function crossesLayer(anchor: () => readonly number[]): Layer {
  const canvas = document.createElement("canvas");
  // A canvas that the layers above were given bare would be drawn on by them, scaled as it is here.
  const sheet = document.createElement("div");
  Object.assign(sheet.style, { position: "absolute", width: "100%", height: "100%" }); // or the next layer lies below it
  canvas.style.transformOrigin = "0 0";
  sheet.append(canvas);
  return new Layer({
    render(frame) {
      const { center, resolution } = frame.viewState;
      const [width = 0, height = 0] = frame.size;
      const ratio = frame.pixelRatio;
      canvas.width = Math.round(width * ratio);
      canvas.height = Math.round(height * ratio);
      canvas.style.transform = `matrix(${1 / ratio}, 0, 0, ${1 / ratio}, 0, 0)`;
      const pen = canvas.getContext("2d");
      if (!pen) return sheet;
      const [anchorX = 0, anchorY = 0] = anchor();
      const ground = groundMetresPerUnit(anchorY);
      const step = crossesApart(resolution * ground) / ground / resolution; // px
      const firstX = mod(width / 2 - ((center[0] ?? 0) - anchorX) / resolution, step);
      const firstY = mod(height / 2 + ((center[1] ?? 0) - anchorY) / resolution, step);
      pen.scale(ratio, ratio);
      pen.strokeStyle = colour;
      pen.lineWidth = 1;
      pen.beginPath();
      for (let x = firstX; x < width + step; x += step) {
        for (let y = firstY; y < height + step; y += step) {
          pen.moveTo(x - armPx, y);
          pen.lineTo(x + armPx, y);
          pen.moveTo(x, y - armPx);
          pen.lineTo(x, y + armPx);
        }
      }
      pen.stroke();
      return sheet;
    },
  });
}

function mod(value: number, by: number): number {
  return ((value % by) + by) % by;
}
