// How far a place on the map must move on the screen to lie beside what lies over the map. Pure.

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const hiddenPx = 10; // nearer to what lies over the map, a symbol is not seen well
const dotPx = 20; // round who walks: the dot with its ring, and some room
export const besidePx = 28; // half of a target: what is moved is seen whole

/** Where a point comes to lie in a window of this size, clear of all boxes; the point itself where it is clear, or nothing is. */
export function cleared(
  [x, y]: readonly [number, number],
  [wide, high]: readonly [number, number],
  boxes: readonly Box[],
): readonly [number, number] {
  const covers = (at: readonly [number, number], near: number) =>
    boxes.some((b) => at[0] > b.left - near && at[0] < b.right + near && at[1] > b.top - near && at[1] < b.bottom + near);
  const free = (at: readonly [number, number]) =>
    at[0] >= besidePx && at[0] <= wide - besidePx && at[1] >= besidePx && at[1] <= high - besidePx && !covers(at, besidePx);
  const edge = x < hiddenPx || x > wide - hiddenPx || y < hiddenPx || y > high - hiddenPx;
  if (!edge && !covers([x, y], hiddenPx)) return [x, y];
  const xs = [x, besidePx, wide - besidePx, ...boxes.flatMap((b) => [b.left - besidePx, b.right + besidePx])];
  const ys = [y, besidePx, high - besidePx, ...boxes.flatMap((b) => [b.top - besidePx, b.bottom + besidePx])];
  const far = (at: readonly [number, number]) => Math.hypot(at[0] - x, at[1] - y);
  const all = xs.flatMap((to) => ys.map((on): readonly [number, number] => [to, on])).filter(free);
  return all.sort((a, b) => far(a) - far(b))[0] ?? [x, y];
}

/** Where who walks comes to lie: where she is while nothing covers her, else in the middle of the largest free part. */
export function keptInSight(
  [x, y]: readonly [number, number],
  size: readonly [number, number],
  boxes: readonly Box[],
): readonly [number, number] {
  const [wide, high] = size,
    near = (b: Box) => x > b.left - dotPx && x < b.right + dotPx && y > b.top - dotPx && y < b.bottom + dotPx;
  const seen = x >= dotPx && x <= wide - dotPx && y >= dotPx && y <= high - dotPx && !boxes.some(near);
  return seen ? [x, y] : freeMiddle(size, boxes);
}

/** The middle of the largest part of a window that no box covers, and that has room on all sides if one has. */
export function freeMiddle([wide, high]: readonly [number, number], boxes: readonly Box[]): readonly [number, number] {
  const edges = (of: (b: Box) => readonly [number, number], end: number) =>
    [...new Set([0, end, ...boxes.flatMap(of)])].filter((at) => at >= 0 && at <= end).sort((a, b) => a - b);
  const xs = edges((b) => [b.left, b.right], wide),
    ys = edges((b) => [b.top, b.bottom], high);
  let best = { short: 0, area: 0, middle: [wide / 2, high / 2] as readonly [number, number] };
  for (const [i, left] of xs.entries())
    for (const right of xs.slice(i + 1))
      for (const [j, top] of ys.entries())
        for (const bottom of ys.slice(j + 1)) {
          const short = Math.min(right - left, bottom - top, 4 * dotPx),
            area = (right - left) * (bottom - top);
          if (short < best.short || (short === best.short && area <= best.area)) continue;
          if (boxes.some((b) => b.left < right && b.right > left && b.top < bottom && b.bottom > top)) continue;
          best = { short, area, middle: [(left + right) / 2, (top + bottom) / 2] };
        }
  return best.middle;
}

/**
 * How much of a window of this size boxes take from its top, right, foot and left, in pixels:
 * columns over its right half from there, others from the top or the foot that is nearer. Some of
 * the window is always left.
 */
export function covered([wide, high]: readonly [number, number], boxes: readonly Box[]): [number, number, number, number] {
  const isColumn = (b: Box) => b.left >= wide / 2 && b.bottom - b.top > b.right - b.left,
    across = boxes.filter((b) => !isColumn(b)),
    isHead = (b: Box) => b.top < high - b.bottom;
  const most = (all: readonly number[], limit: number) => Math.min(limit, besidePx + Math.max(0, ...all));
  const top = most(
    across.filter(isHead).map((b) => b.bottom),
    high / 2 - 1,
  );
  const foot = most(
    across.filter((b) => !isHead(b)).map((b) => high - b.top),
    high - top - 2,
  );
  return [
    top,
    most(
      boxes.filter(isColumn).map((b) => wide - b.left),
      wide / 2 - 1,
    ),
    foot,
    besidePx,
  ];
}
