// Whether a boundary crosses itself, found without the computations, so that an area can be
// refused or saved when they are not there. Package model has the last word on areas.

import { moved, offset, type Place } from "../../base/plane.ts";

/** A place where the closed boundary crosses itself, null when it does not. */
export function crossing(boundary: readonly Place[]): Place | null {
  const first = boundary[0];
  if (!first) return null;
  const n = boundary.length;
  const x = new Float64Array(n + 1),
    y = new Float64Array(n + 1);
  boundary.forEach((p, i) => {
    const d = offset(first, p);
    x[i] = d.east;
    y[i] = d.north;
  });
  x[n] = x[0]!;
  y[n] = y[0]!;
  for (let i = 0; i < n; i++) {
    // Neighbours meet in their corner, at 0 or 1 without rounding, which is no crossing.
    for (let j = 0; j < i; j++) {
      const at = meeting(x[i]!, y[i]!, x[i + 1]!, y[i + 1]!, x[j]!, y[j]!, x[j + 1]!, y[j + 1]!);
      if (at) return moved(first, at[0], at[1]);
    }
  }
  return null;
}

/** Where two sides properly cross, in the metres they are given in. */
function meeting(ax: number, ay: number, bx: number, by: number, cx: number, cy: number, dx: number, dy: number): [number, number] | null {
  const across = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx);
  if (across === 0) return null; // parallel
  const t = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / across;
  const u = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / across;
  return t > 0 && t < 1 && u > 0 && u < 1 ? [ax + t * (bx - ax), ay + t * (by - ay)] : null;
}
