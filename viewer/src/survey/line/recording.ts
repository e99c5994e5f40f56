// A line or area while it is being recorded, and everything that can be done to it. Pure:
// what the receiver, the map and the buttons tell comes in as actions.
//
// It is kept in pieces. Between two pieces lies what was not recorded: the officer paused,
// the page was hidden, the receiver lost the sky. Such a gap is never joined unless the
// officer says so, and then it is told in the notes.

import { metresBetween, moved, type Place } from "../../base/plane.ts";

/** One position of a line. */
export interface Spot extends Place {
  readonly accuracyM: number;
  readonly atMS: number; // by the receiver's clock, or the phone's for what was tapped
  readonly how: "walked" | "stood" | "tapped";
  readonly heightM?: number; // a label, never a level
  readonly snappedTo?: string; // the thalweg it was put on
}

export type Why = "paused" | "hidden" | "closed" | "no-fix" | "split";

/** What lies between two pieces. */
export interface Gap {
  readonly why: Why;
  readonly fromMS: number;
  readonly toMS: number;
}

export interface Join extends Gap {
  readonly lengthM: number;
}

export interface Chosen {
  readonly piece: number;
  readonly spot: number;
}

export interface Recording {
  readonly shape: "line" | "area";
  readonly pieces: readonly (readonly Spot[])[]; // none empty, but the last while nothing has come
  readonly gaps: readonly Gap[]; // gaps[i] lies before pieces[i + 1]
  readonly joins: readonly Join[]; // gaps that the officer closed with a straight side
  readonly closed: boolean; // of an area
  readonly walk: "off" | "on" | "paused";
  /** Why and since when nothing was recorded, until the next position comes. */
  readonly pending: { readonly why: Why; readonly fromMS: number } | null;
  readonly heardMS: number | null; // of the newest fix in a walk, kept or not
  readonly latest?: readonly Spot[]; // fixes of the last restMS of a walk, kept or not; none in older drafts
  readonly chosen: Chosen | null;
  readonly walked: number; // positions that came by themselves since the last thing done by hand
  readonly before: readonly Recording[]; // for undo, newest last
}

export type Action =
  | { readonly do: "walk" }
  | { readonly do: "pause" }
  | { readonly do: "hidden" } // the page went out of sight: no more fixes come
  | { readonly do: "fix"; readonly spot: Spot }
  | { readonly do: "add"; readonly spot: Spot }
  | { readonly do: "choose"; readonly chosen: Chosen | null }
  | { readonly do: "nudge"; readonly eastM: number; readonly northM: number }
  | { readonly do: "move"; readonly at: Chosen; readonly to: Place; readonly accuracyM: number; readonly goesOn: boolean } // goesOn: of a drag under way, which is undone as one
  | { readonly do: "insert"; readonly piece: number; readonly after: number; readonly spot: Spot }
  | { readonly do: "take-out" }
  | { readonly do: "split" }
  | { readonly do: "join"; readonly gap: number }
  | { readonly do: "close" }
  | { readonly do: "open" }
  | { readonly do: "clear" }
  | { readonly do: "undo" };

export const begun = (shape: "line" | "area"): Recording => ({
  shape,
  pieces: [[]],
  gaps: [],
  joins: [],
  closed: false,
  walk: "off",
  pending: null,
  heardMS: null,
  chosen: null,
  walked: 0,
  before: [],
});

/** A walked line gets no position nearer to the last than this: noise would lengthen it. Common practice, no source. */
export const leastStepM = 2;
/** Who got no farther than this many times the accuracy in so long stands still. Common practice, no source. */
const restMS = 20_000;
const restAccuracies = 1.5;
/** A receiver silent for so long has lost the sky. */
export const silentMS = 15_000;
/** How far a person gets meanwhile. A brisk walk over rough ground; common practice, no source. */
const walkMps = 2;
const mostUndo = 60;

export function reduce(recording: Recording, action: Action): Recording {
  switch (action.do) {
    case "walk":
      return recording.walk === "on"
        ? recording
        : { ...remembered(recording), walk: "on", closed: false, chosen: null, pending: recording.pending ?? waiting(recording, "paused") };
    case "pause":
      return recording.walk === "on"
        ? { ...recording, walk: "paused", pending: recording.pending ?? waiting(recording, "paused") }
        : recording;
    case "hidden":
      return recording.walk === "on" ? { ...recording, pending: recording.pending ?? waiting(recording, "hidden") } : recording;
    case "fix":
      return recording.walk === "on" ? walked(recording, action.spot) : recording;
    case "add":
      return recording.closed ? recording : added(recording, action.spot);
    case "choose":
      return { ...recording, chosen: action.chosen };
    case "nudge":
      return changed(recording, (spots, i) => spots.map((s, j) => (j === i ? nudged(s, action.eastM, action.northM) : s)));
    case "move": {
      const moved = changed({ ...recording, chosen: action.at }, (spots, i) =>
        spots.map((s, j) => (j === i ? drawnAt(s, action.to, action.accuracyM) : s)),
      );
      return { ...moved, chosen: recording.chosen, ...(action.goesOn && { before: recording.before }) };
    }
    case "insert":
      return inserted(recording, action.piece, action.after, action.spot);
    case "take-out":
      return takenOut(recording);
    case "split":
      return split(recording);
    case "join":
      return joined(recording, action.gap);
    case "close":
      return recording.shape === "area" && !recording.gaps.length && spotsOf(recording).length > 2
        ? { ...remembered(recording), closed: true, walk: "off", pending: null, chosen: null }
        : recording;
    case "open":
      return { ...remembered(recording), closed: false };
    case "clear":
      return { ...begun(recording.shape), before: remembered(recording).before };
    case "undo":
      return undone(recording);
  }
}

export const spotsOf = (recording: Pick<Recording, "pieces">): readonly Spot[] => recording.pieces.flat();

export function lastSpot(recording: Recording): Spot | undefined {
  for (let i = recording.pieces.length - 1; i >= 0; i--) {
    const piece = recording.pieces[i]!;
    if (piece.length) return piece[piece.length - 1];
  }
  return undefined;
}

export function chosenSpot(recording: Recording): Spot | undefined {
  return recording.chosen ? recording.pieces[recording.chosen.piece]?.[recording.chosen.spot] : undefined;
}

/** That nothing is recorded from the newest fix on. */
function waiting(recording: Recording, why: Why): Recording["pending"] {
  const last = lastSpot(recording);
  return last ? { why, fromMS: recording.heardMS ?? last.atMS } : null;
}

/**
 * Adds a position by hand. It is joined to the last one, since the officer sees the line;
 * but not over a silence in a walk that has not been told yet.
 */
function added(recording: Recording, spot: Spot): Recording {
  const { pending } = recording;
  const done = { ...remembered(recording), pending: null };
  if (!pending || pending.why === "paused" || !lastSpot(recording)) return { ...done, ...appended(recording, spot) };
  return { ...done, ...withGap(recording, pending, spot) };
}

function withGap(recording: Recording, { why, fromMS }: NonNullable<Recording["pending"]>, spot: Spot): Pick<Recording, "pieces" | "gaps"> {
  return { pieces: [...recording.pieces, [spot]], gaps: [...recording.gaps, { why, fromMS, toMS: spot.atMS }] };
}

/**
 * Takes a fix of a walk. After a silence it begins a new piece, unless the officer cannot
 * have left the place meanwhile: the fix lies where the last one did, within what both are
 * doubtful by, and if the page was hidden, it was for less than it takes to walk so far.
 * Some receivers say nothing at rest, so that their silence is kept as joined.
 */
function walked(recording: Recording, spot: Spot): Recording {
  const latest = [...(recording.pending ? [] : (recording.latest ?? [])).filter((fix) => spot.atMS - fix.atMS <= restMS), spot];
  const heard = { ...recording, pending: null, heardMS: spot.atMS, latest };
  const grown = { ...heard, walked: recording.walked + 1 };
  const last = lastSpot(recording);
  if (!last) return { ...grown, ...appended(recording, spot) };
  const silent = recording.heardMS !== null && spot.atMS - recording.heardMS > silentMS;
  const pending = recording.pending ?? (silent ? { why: "no-fix" as const, fromMS: recording.heardMS! } : null);
  const apartM = metresBetween(last, spot);
  if (pending) {
    const doubtM = last.accuracyM + spot.accuracyM;
    const couldWalkM = ((spot.atMS - pending.fromMS) / 1000) * walkMps;
    const near = apartM <= doubtM;
    const stayed = near && ((pending.why !== "hidden" && pending.why !== "closed") || couldWalkM <= doubtM);
    if (!stayed) return { ...grown, ...withGap(recording, pending, spot) };
  }
  const joins = pending?.why === "no-fix" ? [...recording.joins, { ...pending, toMS: spot.atMS, lengthM: apartM }] : recording.joins;
  const stepM = atRest(latest) ? last.accuracyM + spot.accuracyM : leastStepM;
  return apartM < stepM ? { ...heard, joins } : { ...grown, joins, ...appended(recording, spot) };
}

/**
 * At rest a receiver's positions wander by its error, slowly, and a line through them would
 * grow for as long as the officer stands there. Who has just begun is taken to walk.
 */
function atRest(latest: readonly Spot[]): boolean {
  const first = latest[0]!,
    last = latest[latest.length - 1]!;
  if (last.atMS - first.atMS < 0.9 * restMS) return false;
  return metresBetween(first, last) <= restAccuracies * Math.max(first.accuracyM, last.accuracyM);
}

function appended(recording: Recording, spot: Spot): Pick<Recording, "pieces" | "chosen"> {
  const last = recording.pieces.length - 1;
  return { pieces: recording.pieces.map((piece, i) => (i === last ? [...piece, spot] : piece)), chosen: null };
}

/** A point put elsewhere on the map: neither its height nor its fix is of that place. */
function drawnAt(spot: Spot, to: Place, accuracyM: number): Spot {
  return { ...to, accuracyM, atMS: spot.atMS, how: "tapped" };
}

function inserted(recording: Recording, at: number, after: number, spot: Spot): Recording {
  const piece = recording.pieces[at];
  if (!piece || after < 0 || after >= piece.length) return recording;
  return {
    ...remembered(recording),
    pieces: recording.pieces.map((p, i) => (i === at ? [...p.slice(0, after + 1), spot, ...p.slice(after + 1)] : p)),
    chosen: { piece: at, spot: after + 1 },
  };
}

/** Whether undo would take away the last point of the line, and not something done to another. */
export function undoesLastPoint(recording: Recording): boolean {
  if (recording.walked > 0) return true;
  const was = recording.before[recording.before.length - 1];
  return (
    was !== undefined && !recording.closed && spotsOf(was).length === spotsOf(recording).length - 1 && lastSpot(was) !== lastSpot(recording)
  );
}

function nudged(spot: Spot, eastM: number, northM: number): Spot {
  const { snappedTo, heightM, ...rest } = spot;
  void [snappedTo, heightM]; // it is no longer there
  return { ...rest, ...moved(spot, eastM, northM), how: "tapped" };
}

function changed(recording: Recording, change: (spots: readonly Spot[], i: number) => readonly Spot[]): Recording {
  const { chosen } = recording;
  if (!chosen || !chosenSpot(recording)) return recording;
  return {
    ...remembered(recording),
    pieces: recording.pieces.map((piece, i) => (i === chosen.piece ? change(piece, chosen.spot) : piece)),
  };
}

function takenOut(recording: Recording): Recording {
  const { chosen } = recording;
  if (!chosen || !chosenSpot(recording)) return recording;
  const cut = changed(recording, (spots, i) => spots.filter((_, j) => j !== i));
  if (cut.pieces[chosen.piece]!.length || cut.pieces.length === 1)
    return { ...cut, chosen: null, closed: cut.closed && spotsOf(cut).length > 2 };
  // The piece is gone: what lay on either side of it is one gap now.
  const before = cut.gaps[chosen.piece - 1],
    after = cut.gaps[chosen.piece];
  const both = before && after ? [{ why: before.why === "split" ? before.why : after.why, fromMS: before.fromMS, toMS: after.toMS }] : [];
  return {
    ...cut,
    pieces: cut.pieces.filter((_, i) => i !== chosen.piece),
    gaps: [...cut.gaps.slice(0, Math.max(0, chosen.piece - 1)), ...both, ...cut.gaps.slice(chosen.piece + 1)],
    chosen: null,
  };
}

/** Two lines where there was one: both have the chosen position. */
function split(recording: Recording): Recording {
  const { chosen } = recording;
  const spot = chosenSpot(recording);
  const piece = chosen && recording.pieces[chosen.piece];
  if (!chosen || !spot || !piece || recording.shape === "area" || chosen.spot === 0 || chosen.spot === piece.length - 1) return recording;
  const gap: Gap = { why: "split", fromMS: spot.atMS, toMS: spot.atMS };
  return {
    ...remembered(recording),
    pieces: [
      ...recording.pieces.slice(0, chosen.piece),
      piece.slice(0, chosen.spot + 1),
      piece.slice(chosen.spot),
      ...recording.pieces.slice(chosen.piece + 1),
    ],
    gaps: [...recording.gaps.slice(0, chosen.piece), gap, ...recording.gaps.slice(chosen.piece)],
    chosen: null,
  };
}

function joined(recording: Recording, i: number): Recording {
  const gap = recording.gaps[i],
    from = recording.pieces[i],
    to = recording.pieces[i + 1];
  if (!gap || !from?.length || !to?.length) return recording;
  const rest = gap.why === "split" ? to.slice(1) : to; // a split has its position twice
  const join: Join = { ...gap, lengthM: metresBetween(from[from.length - 1]!, to[0]!) };
  return {
    ...remembered(recording),
    pieces: [...recording.pieces.slice(0, i), [...from, ...rest], ...recording.pieces.slice(i + 2)],
    gaps: recording.gaps.filter((_, j) => j !== i),
    joins: gap.why === "split" ? recording.joins : [...recording.joins, join],
    chosen: null,
  };
}

const remembered = (recording: Recording): Recording => ({
  ...recording,
  walked: 0,
  before: [...recording.before, { ...recording, before: [] }].slice(-mostUndo),
});

/** Takes back the newest: a position that came by itself, else the last thing done by hand. */
function undone(recording: Recording): Recording {
  if (recording.walked > 0) return withoutLast(recording);
  const was = recording.before[recording.before.length - 1];
  return was ? { ...was, walk: was.walk === "on" ? "paused" : was.walk, before: recording.before.slice(0, -1) } : recording;
}

function withoutLast(recording: Recording): Recording {
  const pieces = recording.pieces.slice();
  const last = pieces.pop() ?? [];
  const rest = { ...recording, walked: recording.walked - 1, closed: false, chosen: null };
  if (last.length > 1 || pieces.length === 0) return { ...rest, pieces: [...pieces, last.slice(0, -1)] };
  // The gap before the position stays one: what comes next must not be joined over it.
  const gap = recording.gaps[recording.gaps.length - 1]!;
  return { ...rest, pieces, gaps: recording.gaps.slice(0, -1), pending: { why: gap.why, fromMS: gap.fromMS } };
}

/** A recording from a draft: whatever it was doing stopped when the page did. */
export function resumed(recording: Omit<Recording, "before">): Recording {
  const whole: Recording = { ...recording, before: [], walked: 0 };
  return whole.walk === "on" ? { ...whole, walk: "paused", pending: whole.pending ?? waiting(whole, "closed") } : whole;
}
