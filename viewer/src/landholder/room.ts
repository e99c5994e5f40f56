// Where the symbols of a map stand at a resolution, so that those close together do not
// cover each other. What is not simply built, is wrong or can hurt is always drawn, beside
// its place when another stands there; symbols of works that stand well give way, and their
// place or line stays drawn. Pure.

export interface Standing {
  readonly id: string;
  readonly x: number; // of its place, in units of the map
  readonly y: number;
  readonly stays: boolean;
  /** Something is wrong there: where many stand it comes before what only stays. */
  readonly wrong?: boolean;
  /** It is drawn at its place whatever else stands there. */
  readonly always?: boolean;
}

/** How far from its place a symbol stands, in units of the map. */
export type Shift = readonly [number, number];

const crowd = 3000; // of so many none steps aside: what finds no room is drawn closer in
const apartPx = 34; // of two symbols that may stand side by side
const inPlace: Shift = [0, 0];
const aside: readonly Shift[] = [1.05, 1.4, 1.8, 2.3].flatMap((far) =>
  [[0, 1], [1, 0], [0, -1], [-1, 0], [0.75, 0.75], [0.75, -0.75], [-0.75, -0.75], [-0.75, 0.75]].map(([x = 0, y = 0]): Shift => [far * x, far * y]),
);

/** Answers where a symbol stands, null when it is not drawn; symbols that were added later count too. */
export function withRoom(standing: readonly Standing[]): (id: string, resolution: number) => Shift | null {
  let at = -1;
  let counted = -1;
  let drawn = new Map<string, Shift>();
  return (id, resolution) => {
    if (resolution !== at || counted !== standing.length) {
      [at, counted, drawn] = [resolution, standing.length, placed(standing, apartPx * resolution)];
    }
    return drawn.get(id) ?? null;
  };
}

const cellsAcross = 2 ** 26; // more than there are on the whole map at any resolution

/** The number of the square, of sides so long, in which a place lies. */
export const cellOf = (x: number, y: number, side: number): number => Math.floor(x / side) * cellsAcross + Math.floor(y / side);

/** Lists boxes by the squares of the map that they touch, so that whether a box is free is asked of those near it alone. */
export class Boxes {
  private readonly cells = new Map<number, Box[]>();

  constructor(private readonly side: number) {}

  add(box: Box): void {
    this.visit(box, (cell) => {
      const here = this.cells.get(cell);
      if (here) here.push(box);
      else this.cells.set(cell, [box]);
      return false;
    });
  }

  meets(box: Box): boolean {
    return this.visit(box, (cell) => this.cells.get(cell)?.some((o) => Math.abs(o.x - box.x) < o.halfWidth + box.halfWidth && Math.abs(o.y - box.y) < o.halfHeight + box.halfHeight) ?? false);
  }

  private visit({ x, y, halfWidth, halfHeight }: Box, each: (cell: number) => boolean): boolean {
    const { side } = this;
    for (let i = Math.floor((x - halfWidth) / side); i * side <= x + halfWidth; i++) {
      for (let j = Math.floor((y - halfHeight) / side); j * side <= y + halfHeight; j++) {
        if (each(i * cellsAcross + j)) return true;
      }
    }
    return false;
  }
}

/** A box around a place, in units of the map. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly halfWidth: number;
  readonly halfHeight: number;
}

/**
 * Which of many places are drawn at a resolution where they lie closer than anyone can tell
 * apart: the first in each square of so many pixels. Pure.
 */
export function thinned(places: readonly { id: string; x: number; y: number }[], squarePx: number): (id: string, resolution: number) => boolean {
  let at = -1;
  let drawn = new Set<string>();
  return (id, resolution) => {
    if (resolution !== at) {
      const first = new Map<number, string>();
      for (const p of places) {
        const cell = cellOf(p.x, p.y, squarePx * resolution);
        if (!first.has(cell)) first.set(cell, p.id);
      }
      [at, drawn] = [resolution, new Set(first.values())];
    }
    return drawn.has(id);
  };
}

export function placed(standing: readonly Standing[], apart: number): Map<string, Shift> {
  const drawn = new Map<string, Shift>();
  const cells = new Map<number, (readonly [number, number])[]>();
  const cell = (x: number, y: number) => cellOf(x, y, apart);
  const free = (x: number, y: number): boolean => {
    for (const dx of [-apart, 0, apart]) {
      for (const dy of [-apart, 0, apart]) {
        if (cells.get(cell(x + dx, y + dy))?.some((o) => Math.abs(o[0] - x) < apart && Math.abs(o[1] - y) < apart)) return false;
      }
    }
    return true;
  };
  const put = (s: Standing, shift: Shift) => {
    const [x, y] = [s.x + shift[0], s.y + shift[1]];
    drawn.set(s.id, shift);
    const key = cell(x, y);
    cells.set(key, [...(cells.get(key) ?? []), [x, y]]);
  };
  const inTheWay: Standing[] = [];
  const crowded = standing.length > crowd;
  const stay = standing.filter((one) => one.stays);
  for (const s of crowded ? [...stay.filter((one) => one.wrong), ...stay.filter((one) => !one.wrong)] : stay) {
    if (free(s.x, s.y) || (crowded && s.always)) put(s, inPlace);
    else if (!crowded) inTheWay.push(s);
  }
  for (const s of inTheWay) {
    const shift = aside.find(([x, y]) => free(s.x + x * apart, s.y + y * apart));
    put(s, shift ? [shift[0] * apart, shift[1] * apart] : inPlace);
  }
  for (const s of standing) {
    if (!s.stays && free(s.x, s.y)) put(s, inPlace);
  }
  return drawn;
}
