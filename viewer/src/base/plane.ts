// Distances and directions over a few kilometres, for what cannot wait for the
// computations: whether a fix has moved, which way a thing lies, where a thumb pointed.
// What is shown as a figure of a work comes from package model.

export interface Place {
  readonly lon: number; // degrees, WGS84
  readonly lat: number;
}

const equatorM = 6378137;
const flattening = 1 / 298.257223563;
const e2 = flattening * (2 - flattening);
const rad = Math.PI / 180;

/**
 * Metres of a degree east and north at a latitude, from the radii of curvature of the
 * WGS84 ellipsoid: N = a / √(1 − e² sin² φ) and M = a (1 − e²) / (1 − e² sin² φ)^(3/2)
 * (Snyder, Map Projections: A Working Manual, 1987, equations 4-18 and 4-20; from memory).
 */
export function metresPerDegree(lat: number): { east: number; north: number } {
  const s = Math.sin(lat * rad);
  const w = Math.sqrt(1 - e2 * s * s);
  return { east: (equatorM / w) * Math.cos(lat * rad) * rad, north: ((equatorM * (1 - e2)) / (w * w * w)) * rad };
}

/** Metres east and north from one place to another; within 1 mm over 1 km, 0.1 % over 100 km, not near the poles. */
export function offset(from: Place, to: Place): { east: number; north: number } {
  const per = metresPerDegree((from.lat + to.lat) / 2);
  const turn = ((to.lon - from.lon + 540) % 360) - 180; // the short way over the antimeridian
  return { east: turn * per.east, north: (to.lat - from.lat) * per.north };
}

export function metresBetween(a: Place, b: Place): number {
  const d = offset(a, b);
  return Math.hypot(d.east, d.north);
}

/** Degrees clockwise from true north, 0 to below 360; 0 where both are the same place. */
export function bearingTo(from: Place, to: Place): number {
  const d = offset(from, to);
  return (Math.atan2(d.east, d.north) / rad + 360) % 360;
}

/** The place so many metres east and north of another. */
export function moved(from: Place, eastM: number, northM: number): Place {
  const first = metresPerDegree(from.lat);
  const lat = from.lat + northM / metresPerDegree(from.lat + northM / first.north / 2).north;
  const lon = from.lon + eastM / metresPerDegree((from.lat + lat) / 2).east;
  return { lon: ((lon + 540) % 360) - 180, lat };
}

/** The nearest place on a line, how far off it is, and after which of its positions. */
export function nearestOnLine(line: readonly Place[], to: Place): { at: Place; offM: number; after: number } | null {
  let best: { at: Place; offM: number; after: number } | null = null;
  for (let i = 0; i < line.length; i++) {
    const a = line[i]!;
    const here = offset(a, to);
    const along = line[i + 1] ? offset(a, line[i + 1]!) : { east: 0, north: 0 };
    const long2 = along.east ** 2 + along.north ** 2;
    const t = long2 === 0 ? 0 : Math.min(1, Math.max(0, (here.east * along.east + here.north * along.north) / long2));
    const offM = Math.hypot(here.east - t * along.east, here.north - t * along.north);
    if (best && offM >= best.offM) continue;
    const b = line[i + 1] ?? a;
    const turn = ((b.lon - a.lon + 540) % 360) - 180;
    best = { at: { lon: ((a.lon + t * turn + 540) % 360) - 180, lat: a.lat + t * (b.lat - a.lat) }, offM, after: i };
  }
  return best;
}
