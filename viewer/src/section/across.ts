// Drawing of a cross-section to scale: offset across, level up. Pure, so that the scale can be tested
// without a page.

import { shortened } from "../base/item.ts";
import { type Paper, pickExaggeration, place, type Tick, ticks } from "./draw.ts";

/** What is drawn: a gully from its left wall to its right, looking downstream, and the levels to which it is filled. */
export interface Across {
  readonly points: readonly { readonly offsetM: number; readonly levelM: number }[];
  readonly levels: readonly { readonly name: string; readonly levelM: number; readonly planned: boolean }[];
}

export interface AcrossDrawing {
  readonly width: number;
  readonly height: number;
  readonly fontPx: number;
  readonly plot: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
  readonly exaggeration: number;
  readonly bed: string;
  readonly ground: string;
  readonly thalwegX: number | undefined; // where offset 0 is; undefined beyond the points
  readonly notches: readonly {
    readonly name: string;
    readonly planned: boolean;
    readonly line: string;
    readonly x: number;
    readonly y: number;
  }[];
  readonly xTicks: readonly Tick[];
  readonly yTicks: readonly Tick[];
}

/** A cross-section that can be drawn has two places, apart. */
export const canDrawAcross = ({ points }: Across): boolean => new Set(points.map((p) => p.offsetM)).size > 1;

export function drawAcross({ points, levels }: Across, paper: Paper): AcrossDrawing {
  const f = paper.fontPx;
  const from = Math.min(...points.map((p) => p.offsetM)),
    to = Math.max(...points.map((p) => p.offsetM));
  const all = points.map((p) => p.levelM);
  const low = Math.min(...all),
    high = Math.max(...all);
  const left = f * 4.2,
    right = paper.widthPx - f * 0.9;
  const pxPerM = (right - left) / (to - from);
  const exaggeration = pickExaggeration((high - low) * pxPerM, Math.min(f * (paper.tallest ?? 16), (right - left) * 0.7));
  const x = (offsetM: number) => left + (offsetM - from) * pxPerM;
  const top = f * 2;
  const y = (levelM: number) => top + (high - levelM) * pxPerM * exaggeration;
  const lowest = y(low),
    bottom = lowest + f * 0.9;
  const line = points.map((p) => `${place(x(p.offsetM))} ${place(y(p.levelM))}`).join("L");
  return {
    width: paper.widthPx,
    height: bottom + f * 3.2,
    fontPx: f,
    plot: { left, right, top, bottom },
    exaggeration,
    bed: `M${line}`,
    ground: `M${place(x(from))} ${place(bottom)}L${line}L${place(x(to))} ${place(bottom)}Z`,
    thalwegX: from <= 0 && to >= 0 ? x(0) : undefined,
    notches: levels.map(({ name, levelM, planned }) => {
      const spans = below(points, levelM);
      const widest = [...spans].sort((a, b) => b[1] - b[0] - (a[1] - a[0]))[0] ?? [from, to];
      return {
        name: shortened(name, 14),
        planned,
        line: spans.map(([a, b]) => `M${place(x(a))} ${place(y(levelM))}H${place(x(b))}`).join(""),
        x: (x(widest[0]!) + x(widest[1]!)) / 2,
        y: y(levelM),
      };
    }),
    xTicks: ticks(from, to, (right - left) / (f * 4.2)).map((t) => ({ at: x(t.value), text: t.text })),
    yTicks: ticks(low, high, Math.max(2, (lowest - top) / (f * 2))).map((t) => ({ at: y(t.value), text: t.text })),
  };
}

/** The stretches across which the ground lies below a level, from the left. */
export function below(points: Across["points"], levelM: number): readonly (readonly [number, number])[] {
  const spans: [number, number][] = [];
  let from: number | undefined = (points[0]?.levelM ?? Infinity) < levelM ? points[0]!.offsetM : undefined;
  points.slice(1).forEach((q, i) => {
    const p = points[i]!;
    const at = () => p.offsetM + ((q.offsetM - p.offsetM) * (levelM - p.levelM)) / (q.levelM - p.levelM);
    if (from === undefined && q.levelM < levelM) from = at();
    else if (from !== undefined && q.levelM >= levelM) {
      spans.push([from, at()]);
      from = undefined;
    }
  });
  if (from !== undefined) spans.push([from, points[points.length - 1]!.offsetM]);
  return spans;
}
