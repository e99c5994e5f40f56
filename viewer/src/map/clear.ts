// How far a place on the map must move on the screen to lie beside what lies over the map. Pure.

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const hiddenPx = 10; // nearer to what lies over the map, a symbol is not seen well
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
