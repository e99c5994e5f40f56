// Where the symbols of a map stand at a resolution, so that those close together do not
// cover each other. What matters more has its place first: what is wrong, then what is built,
// then what is only pegged or planned. Another stands beside its place with a line to it, or,
// of many works that stand well, is drawn small: none is hidden below another. Pure.

import type { Shift } from "./symbolplace.ts";

export interface Standing {
  readonly id: string;
  readonly x: number; // of its place, in units of the map
  readonly y: number;
  /** It is drawn whole however many stand there; others are drawn small where many do. */
  readonly stays: boolean;
  /** The lowest has its place first. */
  readonly rank: number;
  /** Something is wrong there: where many stand it comes before what only stays. */
  readonly wrong?: boolean;
  /** It is drawn at its place whatever else stands there. */
  readonly always?: boolean;
}

const crowd = 3000; // of so many none steps aside: what finds no room is drawn closer in
const apartPx = 34; // of two symbols that may stand side by side
export const smallPart = 0.6; // of a symbol that is drawn small
const few = 4; // more that lie about a place are drawn small beside each other
const inPlace: Shift = [0, 0];
const aside: readonly Shift[] = [1.05, 1.4, 1.8, 2.3].flatMap((far) =>
  [
    [0, 1],
    [1, 0],
    [0, -1],
    [-1, 0],
    [0.75, 0.75],
    [0.75, -0.75],
    [-0.75, -0.75],
    [-0.75, 0.75],
  ].map(([x = 0, y = 0]): Shift => [far * x, far * y]),
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
    return this.visit(
      box,
      (cell) =>
        this.cells
          .get(cell)
          ?.some((o) => Math.abs(o.x - box.x) < o.halfWidth + box.halfWidth && Math.abs(o.y - box.y) < o.halfHeight + box.halfHeight) ??
        false,
    );
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
export function thinned(
  places: readonly { id: string; x: number; y: number }[],
  squarePx: number,
): (id: string, resolution: number) => boolean {
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
  const taken = new Boxes(apart);
  const crowded = standing.length > crowd;
  const half = apart / 2;
  const box = (s: Standing, [east, north, size]: Shift): Box => {
    const side = size ? half * smallPart : half;
    return { x: s.x + east, y: s.y + north, halfWidth: side, halfHeight: side };
  };
  const isFree = (s: Standing, shift: Shift) => !taken.meets(box(s, shift));
  const put = (s: Standing, shift: Shift) => {
    drawn.set(s.id, shift);
    taken.add(box(s, shift));
  };
  const order = [...standing].sort((a, b) => (crowded ? Number(!a.wrong) - Number(!b.wrong) : 0) || a.rank - b.rank);
  const inTheWay: Standing[] = [];
  for (const s of order) {
    if (isFree(s, inPlace) || (crowded && s.always)) put(s, inPlace);
    else if (!crowded) inTheWay.push(s);
  }
  const about = inTheWay.length > 0 ? counted(standing, 2 * apart) : () => 0;
  for (const s of inTheWay) {
    const whole = s.stays || about(s) <= few;
    const shifts = aside.map(([x, y]): Shift => (whole ? [x * apart, y * apart] : [x * apart * beside, y * apart * beside, "small"]));
    put(s, (whole ? shifts : [small, ...shifts]).find((shift) => isFree(s, shift)) ?? (whole ? inPlace : small));
  }
  return drawn;
}

const small: Shift = [0, 0, "small"];
const beside = (1 + smallPart) / 2; // of how far a whole one stands

/** How many lie in the square of a place and in those around it. */
function counted(standing: readonly Standing[], side: number): (s: Standing) => number {
  const cells = new Map<number, number>();
  for (const { x, y } of standing) cells.set(cellOf(x, y, side), (cells.get(cellOf(x, y, side)) ?? 0) + 1);
  const steps = [-side, 0, side];
  return ({ x, y }) =>
    steps.reduce((sum, east) => sum + steps.reduce((part, north) => part + (cells.get(cellOf(x + east, y + north, side)) ?? 0), 0), 0);
}
