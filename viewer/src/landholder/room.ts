// Where the symbols of a map stand at a resolution, so that those close together do not
// cover each other. What is not simply built, is wrong or can hurt is always drawn, beside
// its place when another stands there; symbols of works that stand well give way, and their
// place or line stays drawn. Pure.

export interface Standing {
  readonly id: string;
  readonly x: number; // of its place, in units of the map
  readonly y: number;
  readonly stays: boolean;
}

/** How far from its place a symbol stands, in units of the map. */
export type Shift = readonly [number, number];

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

export function placed(standing: readonly Standing[], apart: number): Map<string, Shift> {
  const drawn = new Map<string, Shift>();
  const cells = new Map<string, (readonly [number, number])[]>();
  const cell = (x: number, y: number) => `${Math.floor(x / apart)},${Math.floor(y / apart)}`;
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
  for (const s of standing.filter((one) => one.stays)) {
    if (free(s.x, s.y)) put(s, inPlace);
    else inTheWay.push(s);
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
