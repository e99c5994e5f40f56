// The view of a map that shows places with what is written round them, clear of what lies over
// the map. Pure.

/** A place, in units of the map, and how many pixels round it must be in sight besides the margins. */
export interface Reach {
  readonly x: number;
  readonly y: number;
  readonly asidePx: number; // to either side
  readonly downPx: number;
}

const labelLetterPx = 9; // of a name, on average
const edgePx = 6; // between a name and the edge of the map
const belowPx = 48; // from a place to below the name of its symbol

/** Half of how wide a name is written. */
export const halfNamePx = (name: string): number => (Array.from(name).length * labelLetterPx) / 2;

/** What the name of a symbol needs, beyond a margin of so many pixels. */
export const nameReach = (x: number, y: number, name: string, marginPx: number): Reach => ({
  x,
  y,
  asidePx: Math.max(0, halfNamePx(name) + edgePx - marginPx),
  downPx: Math.max(0, belowPx - marginPx),
});

/** The corners of a box, [west, south, east, north] in units of the map. */
export const cornerReaches = ([w = 0, s = 0, e = 0, n = 0]: readonly number[]): Reach[] => [
  { x: w, y: s, asidePx: 0, downPx: 0 },
  { x: e, y: n, asidePx: 0, downPx: 0 },
];

export interface WholeView {
  readonly center: [number, number];
  readonly resolution: number; // units of the map to a pixel
}

/** The closest view of all places within the margins (top, right, bottom, left) of a window, no closer than a resolution. */
export function wholeView(
  reaches: readonly Reach[],
  [wide, high]: readonly [number, number],
  [top, right, bottom, left]: readonly [number, number, number, number],
  closest: number,
): WholeView {
  const [across, down] = [Math.max(2, wide - left - right), Math.max(2, high - top - bottom)];
  const box = (resolution: number) => {
    let [w, s, e, n] = [Infinity, Infinity, -Infinity, -Infinity];
    for (const { x, y, asidePx, downPx } of reaches) {
      const aside = Math.min(asidePx, across / 2 - 1) * resolution; // a name wider than the window is cut
      [w, e] = [Math.min(w, x - aside), Math.max(e, x + aside)];
      [s, n] = [Math.min(s, y - Math.min(downPx, down - 1) * resolution), Math.max(n, y)];
    }
    return { w, s, e, n, fits: e - w <= across * resolution && n - s <= down * resolution };
  };
  let [low, resolution] = [closest, closest];
  while (!box(resolution).fits && resolution < 1e9) [low, resolution] = [resolution, resolution * 2];
  while (resolution - low > resolution * 1e-4) {
    const middle = (low + resolution) / 2;
    if (box(middle).fits) resolution = middle;
    else low = middle;
  }
  const { w, s, e, n } = box(resolution);
  return { center: [(w + e - (left - right) * resolution) / 2, (s + n + (top - bottom) * resolution) / 2], resolution };
}
