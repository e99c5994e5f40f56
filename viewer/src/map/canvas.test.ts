// Canvases for tests without a browser: they draw nothing and note what was drawn. How a map
// looks, viewer/fieldtest/map and viewer/desktest try.

import type { Window } from "happy-dom";

/** What was drawn: words, boxes with the colour that fills them, and how often each call was made. */
export class Drawn {
  readonly words: string[] = [];
  readonly texts: { readonly words: string; readonly x: number; readonly y: number }[] = [];
  readonly boxes: { readonly colour: string; readonly x: number; readonly y: number; readonly wide: number; readonly high: number }[] = [];
  readonly calls = new Map<string, number>();
}

const calls = [
  ...["save", "restore", "scale", "rotate", "translate", "transform", "setTransform", "resetTransform", "clearRect", "fillRect"],
  ...["strokeRect", "beginPath", "closePath", "moveTo", "lineTo", "quadraticCurveTo", "bezierCurveTo", "arc", "arcTo", "rect"],
  ...["ellipse", "fill", "stroke", "clip", "fillText", "strokeText", "drawImage", "putImageData", "setLineDash"],
];
const settings = {
  ...{ globalAlpha: 1, fillStyle: "#000", strokeStyle: "#000", lineWidth: 1, lineCap: "butt", lineJoin: "miter", miterLimit: 10 },
  ...{
    lineDashOffset: 0,
    font: "10px sans-serif",
    textAlign: "start",
    textBaseline: "alphabetic",
    globalCompositeOperation: "source-over",
  },
  ...{ imageSmoothingEnabled: true, filter: "none" },
};

/** What the map asks for by name. */
export const canvasKinds = {
  CanvasPattern: class {},
  CanvasGradient: class {},
  createImageBitmap: async (from: unknown) => {
    if (from instanceof Blob) throw new DOMException("nothing here reads pictures", "InvalidStateError");
    return from;
  },
};

/** A path that is drawn as a whole. */
export class Path2D {
  constructor(readonly path: string) {}
}

const sizePx = { offsetWidth: 390, clientWidth: 390, offsetHeight: 640, clientHeight: 640 };

/** Gives the canvases of a window something to draw on, and its maps and drawings a size. */
export function withCanvases(window: Window): Drawn {
  const drawn = new Drawn();
  const context = (canvas: unknown) => {
    const call = (name: string) =>
      function (this: { readonly fillStyle: string }, ...args: readonly unknown[]) {
        if (name === "fillText") {
          drawn.words.push(String(args[0]));
          drawn.texts.push({ words: String(args[0]), x: Number(args[1]), y: Number(args[2]) });
        }
        if (name === "fillRect") {
          const [x, y, wide, high] = args as [number, number, number, number];
          drawn.boxes.push({ colour: this.fillStyle, x, y, wide, high });
        }
        drawn.calls.set(name, (drawn.calls.get(name) ?? 0) + 1);
      };
    return {
      ...Object.fromEntries(calls.map((name) => [name, call(name)])),
      ...settings,
      canvas,
      createPattern: () => ({}),
      measureText: (text: string) => ({ width: 7 * text.length, actualBoundingBoxAscent: 9, actualBoundingBoxDescent: 3 }),
      getImageData: (_x: number, _y: number, wide: number, high: number) => ({ data: new Uint8ClampedArray(4 * wide * high) }),
    };
  };
  const contexts = new WeakMap<object, unknown>();
  Object.assign(window.HTMLCanvasElement.prototype, {
    getContext(this: object) {
      if (!contexts.has(this)) contexts.set(this, context(this));
      return contexts.get(this);
    },
  });
  for (const [name, px] of Object.entries(sizePx))
    Object.defineProperty(window.HTMLElement.prototype, name, {
      configurable: true,
      get(this: HTMLElement) {
        const sized = this.closest?.<HTMLElement>(".map, .paper, .drawing");
        return sized ? parseFloat(sized.style[/Width/.test(name) ? "width" : "height"]) || px : 0;
      },
    });
  class Sized {
    constructor(readonly told: (entries: readonly object[], by: object) => void) {}
    observe(): void {
      window.setTimeout(() => this.told([], this)); // which measures at once
    }
    unobserve() {}
    disconnect() {}
  }
  Object.assign(window, { ResizeObserver: Sized });
  Object.assign(window.HTMLElement.prototype, {
    setPointerCapture() {},
    releasePointerCapture() {},
  });
  const fonts = Object.assign(new EventTarget(), { ready: Promise.resolve(), check: () => true, load: async () => [], forEach: () => {} });
  Object.defineProperty(window.document, "fonts", { value: fonts });
  const styled = window.getComputedStyle.bind(window);
  window.getComputedStyle = (element) =>
    new Proxy(styled(element), {
      get: (style, name) => {
        const value: unknown = Reflect.get(style, name);
        return value === "" && /^(border|padding).*/.test(String(name)) ? "0px" : value;
      },
    });
  const measured = window.HTMLElement.prototype.getBoundingClientRect;
  window.HTMLElement.prototype.getBoundingClientRect = function () {
    return this.closest?.(".map") ? new window.DOMRect(0, 0, sizePx.offsetWidth, sizePx.offsetHeight) : measured.call(this);
  };
  return drawn;
}
