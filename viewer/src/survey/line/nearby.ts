// What of a drawn line lies under a finger: one of its points, or a side between two. Pure.

import { between, metresBetween, nearestOnLine, type Place } from "../../base/plane.ts";
import type { Chosen, Recording } from "./recording.ts";

/** The nearest point within reach. */
export function pointNear(recording: Recording, at: Place, reachM: number): Chosen | null {
  let best: Chosen | null = null,
    leastM = reachM;
  recording.pieces.forEach((piece, i) =>
    piece.forEach((spot, j) => {
      const m = metresBetween(spot, at);
      if (m <= leastM) [best, leastM] = [{ piece: i, spot: j }, m];
    }),
  );
  return best;
}

export interface Side {
  readonly piece: number;
  readonly after: number; // the point that it begins at
  readonly at: Place;
}

/** The nearest side within reach, with the place on it. */
export function sideNear(recording: Recording, at: Place, reachM: number): Side | null {
  let best: Side | null = null,
    leastM = reachM;
  recording.pieces.forEach((piece, i) => {
    const line = recording.closed && piece.length > 2 ? [...piece, piece[0]!] : piece;
    const near = line.length > 1 ? nearestOnLine(line, at) : null;
    if (near && near.offM <= leastM) [best, leastM] = [{ piece: i, after: Math.min(near.after, line.length - 2), at: near.at }, near.offM];
  });
  return best;
}

/** The side that follows a point, with its middle; null after the end of a line. */
export function sideAfter(recording: Recording, { piece, spot }: Chosen): Side | null {
  const spots = recording.pieces[piece] ?? [];
  const from = spots[spot],
    to = spots[spot + 1] ?? (recording.closed ? spots[0] : undefined);
  if (!from || !to || from === to) return null;
  return { piece, after: spot, at: between(from, to, 0.5) };
}
