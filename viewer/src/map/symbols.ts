// The symbols of works, as strokes on a 40 by 40 box. Map and legend draw the same
// strokes. The mark inside comes from the kind's row; the frame tells the status by its
// shape alone, so that no colour need be seen.

import type { DrawnKind, Status } from "../base/item.ts";

export interface Stroke {
  path: string;
  fill?: string;
  stroke?: string;
  width?: number;
  dash?: readonly number[];
  /** Drawn in the mark's own 24 by 24 box, which lies in the middle. */
  inMark?: boolean;
}

export const boxSize = 40;
export const markInset = 8;
export const ink = "#1c1b17";
/** From the middle of a work's symbol to its name. */
export const labelBelowPx = 35;

const disc = "M20 4a16 16 0 1 0 .01 0z";
const casing = "M20 1a19 19 0 1 0 .01 0z";
const cross = "M7 7L33 33M33 7L7 33";
const bar = "M7 33L33 7";
const pegs = "M20 0v7M20 33v7M0 20h7M33 20h7";

export function symbol(kind: DrawnKind, status: Status): Stroke[] {
  const back: Stroke = { path: casing, fill: "#ffffff" };
  const mark = (stroke: string): Stroke => ({ path: kind.mark ?? "", stroke, width: 2, inMark: true });
  const ring = (more: Partial<Stroke>): Stroke => ({ path: disc, fill: "#ffffff", stroke: kind.colour, width: 2.5, ...more });
  switch (status) {
    case "built":
      return [back, { path: disc, fill: kind.colour }, mark("#ffffff")];
    case "pegged":
      return [back, ring({}), { path: pegs, stroke: kind.colour, width: 3 }, mark(kind.colour)];
    case "proposed":
      return [back, ring({ dash: [5, 4.1] }), mark(kind.colour)];
    case "failed":
      return [back, ring({}), mark(kind.colour), { path: cross, stroke: "#ffffff", width: 5.5 }, { path: cross, stroke: ink, width: 2.8 }];
    case "removed":
      return [
        back,
        ring({ dash: [1, 4], width: 2 }),
        mark(kind.colour),
        { path: bar, stroke: "#ffffff", width: 6 },
        { path: bar, stroke: kind.colour, width: 2.5 },
      ];
    case "unsaid":
      return [back, ring({ width: 1.2 }), mark(kind.colour)];
  }
}

/** Laid over the symbol of a work that stands and needs attention. */
export const attentionMark: readonly Stroke[] = [
  { path: "M31 0a9 9 0 1 0 .01 0z", fill: "#ffffff" },
  { path: "M31 1.5a7.5 7.5 0 1 0 .01 0z", fill: "#8a1212" },
  { path: "M31 4.6v5M31 13v.2", stroke: "#ffffff", width: 2.4 },
];

/** How the line of a work, or the edge of its area, tells the status. */
export interface LineDress {
  width: number;
  dash: readonly number[];
  beads: boolean; // pegs along a thin line
  crosses: boolean;
}

export const lineDress: Record<Status, LineDress> = {
  built: { width: 5, dash: [], beads: false, crosses: false },
  pegged: { width: 2, dash: [], beads: true, crosses: false },
  proposed: { width: 3.5, dash: [10, 8], beads: false, crosses: false },
  failed: { width: 3, dash: [], beads: false, crosses: true },
  removed: { width: 3, dash: [1, 7], beads: false, crosses: false },
  unsaid: { width: 2, dash: [], beads: false, crosses: false },
};
