// Which symbols of works have room at a resolution, so that those close together do not
// cover each other. What is not simply built, or is wrong, always has: only symbols of
// works that stand well give way, and their place or line stays drawn. Pure.

export interface Standing {
  readonly id: string;
  readonly x: number; // of its symbol, in units of the map
  readonly y: number;
  readonly stays: boolean;
}

const apartPx = 34; // of two symbols that may stand side by side

/** Answers whether a symbol is drawn; symbols that were added later count too. */
export function withRoom(standing: readonly Standing[]): (id: string, resolution: number) => boolean {
  let at = -1;
  let counted = -1;
  let drawn = new Set<string>();
  return (id, resolution) => {
    if (resolution !== at || counted !== standing.length) {
      [at, counted, drawn] = [resolution, standing.length, placed(standing, apartPx * resolution)];
    }
    return drawn.has(id);
  };
}

export function placed(standing: readonly Standing[], apart: number): Set<string> {
  const drawn = new Set<string>();
  const cells = new Map<string, Standing[]>();
  const cell = (x: number, y: number) => `${Math.floor(x / apart)},${Math.floor(y / apart)}`;
  const free = (s: Standing): boolean => {
    for (const dx of [-apart, 0, apart]) {
      for (const dy of [-apart, 0, apart]) {
        if (cells.get(cell(s.x + dx, s.y + dy))?.some((o) => Math.abs(o.x - s.x) < apart && Math.abs(o.y - s.y) < apart)) return false;
      }
    }
    return true;
  };
  for (const s of [...standing.filter((one) => one.stays), ...standing.filter((one) => !one.stays)]) {
    if (!s.stays && !free(s)) continue;
    drawn.add(s.id);
    const key = cell(s.x, s.y);
    cells.set(key, [...(cells.get(key) ?? []), s]);
  }
  return drawn;
}
