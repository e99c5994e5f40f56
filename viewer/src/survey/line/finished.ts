// From a recording to what is saved: one feature for each line between splits.

import type { Fields } from "../../base/entry.ts";
import { distance } from "../../base/words.ts";
import { rounded } from "../../base/number.ts";
import { meanAccuracyM } from "../../sensor/fixfields.ts";
import type { Recording, Gap, Spot, Why } from "./recording.ts";

/** An entry has at most 256 KiB; so many positions with all that is kept of each stay well below. */
export const mostSpots = 3000;

/**
 * Fields of each feature that a recording gives, own among them; platform is what the browser
 * says it is. Empty when there is no line in it.
 */
export function finished(recording: Recording, own: Fields, platform: string): Fields[] {
  const all = recording.closed ? [area(recording)] : lines(recording).map((line) => lineFields(line, recording));
  return all.map(({ receiver, ...fields }) => ({ ...own, ...fields, receiver: { ...receiver, platform } }));
}

type Placed = Fields & { readonly receiver: Fields };

interface Line {
  readonly pieces: readonly (readonly Spot[])[];
  readonly gaps: readonly Gap[];
}

/** The lines between splits; one too long for an entry is cut into several that share an end. */
function lines(recording: Recording): Line[] {
  const out: { pieces: (readonly Spot[])[]; gaps: Gap[] }[] = [{ pieces: [], gaps: [] }];
  let room = mostSpots;
  recording.pieces.forEach((piece, i) => {
    const gap = recording.gaps[i - 1];
    if (gap?.why === "split" || piece.length > room) {
      out.push({ pieces: [], gaps: [] });
      room = mostSpots;
    } else if (gap) out[out.length - 1]!.gaps.push(gap);
    let rest = piece;
    for (; rest.length > room; rest = rest.slice(room - 1)) out.push({ pieces: [rest.slice(0, room)], gaps: [] });
    if (rest !== piece) out.push({ pieces: [rest], gaps: [] });
    else out[out.length - 1]!.pieces.push(piece);
    room -= rest.length;
  });
  return out.filter((line) => line.pieces.some((p) => p.length > 1));
}

function lineFields({ pieces, gaps }: Line, recording: Recording): Placed {
  const whole = pieces.filter((p) => p.length > 1);
  const lone = pieces.filter((p) => p.length === 1).flat();
  const coordinates = whole.map((piece) => piece.map(position));
  const geometry = whole.length === 1 ? { type: "LineString", coordinates: coordinates[0] } : { type: "MultiLineString", coordinates };
  return { geometry, ...common(whole.flat()), receiver: receiver(whole.flat(), recording, gaps, lone) };
}

function area(recording: Recording): Placed {
  const all = recording.pieces.flat();
  const every = Math.ceil(all.length / mostSpots);
  const kept = all.filter((_, i) => i % every === 0);
  const ring = [...kept, kept[0]!];
  return {
    geometry: { type: "Polygon", coordinates: [ring.map(position)] },
    ...common(ring),
    receiver: { ...receiver(kept, recording, [], []), ...(every > 1 && { walkedPoints: all.length, keptOneIn: every }) },
  };
}

/** How positions came: the weaker of the two, as figures rest on all of them. */
export function basisOf(spots: readonly Spot[]): "GPS" | "drawn on the map" {
  return spots.some((s) => s.how === "tapped" || s.snappedTo !== undefined) ? "drawn on the map" : "GPS";
}

function common(spots: readonly Spot[]): Fields {
  return {
    positionBasis: basisOf(spots),
    accuracyM: meanAccuracyM(spots.map((s) => s.accuracyM)),
    ...(spots.some((s) => s.heightM !== undefined) && {
      gpsHeightsM: spots.map((s) => (s.heightM === undefined ? null : rounded(s.heightM, 2))),
    }),
  };
}

/** The raw fields, a list each with one value a position, and the gaps as they were. */
function receiver(spots: readonly Spot[], recording: Recording, gaps: readonly Gap[], lone: readonly Spot[]): Fields {
  const from = Math.min(...spots.map((s) => s.atMS));
  const joins = recording.gaps.some((g) => g.why === "split")
    ? recording.joins.filter((j) => spots.some((s) => s.atMS <= j.fromMS) && spots.some((s) => s.atMS >= j.toMS))
    : recording.joins;
  return {
    from: new Date(from).toISOString(),
    secondsAfter: spots.map((s) => rounded((s.atMS - from) / 1000, 1)),
    accuraciesM: spots.map((s) => rounded(s.accuracyM, 1)),
    how: spots.map((s) => (s.snappedTo ? "snapped" : s.how)),
    heightDatum: "unknown",
    ...(gaps.length && { gaps: gaps.map(times) }),
    ...(joins.length > 0 && { joins: joins.map((j) => ({ ...times(j), lengthM: rounded(j.lengthM, 1) })) }),
    ...(lone.length && { lone: lone.map(position) }),
  };
}

const times = (gap: Gap) => ({ why: gap.why, from: new Date(gap.fromMS).toISOString(), to: new Date(gap.toMS).toISOString() });
const position = (s: Spot) => [rounded(s.lon, 8), rounded(s.lat, 8)];

const whyWords: { readonly [why in Why]: string } = {
  paused: "paused",
  hidden: "the page was hidden",
  closed: "the page was closed",
  "no-fix": "no GPS position",
  split: "split",
};

const time = (ms: number, seconds: boolean) =>
  new Date(ms).toLocaleTimeString("en-AU", { hour: "2-digit", minute: "2-digit", hourCycle: "h23", ...(seconds && { second: "2-digit" }) });

export function gapWords(gap: Gap, apartM: number): string {
  const short = gap.toMS - gap.fromMS < 120_000;
  return `Gap of ${distance(apartM)}: not recorded from ${time(gap.fromMS, short)} to ${time(gap.toMS, short)} (${whyWords[gap.why]}).`;
}
