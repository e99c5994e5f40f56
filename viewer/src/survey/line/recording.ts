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

export interface Course {
  readonly shape: "line" | "area";
  readonly pieces: readonly (readonly Spot[])[]; // none empty, but the last while nothing has come
  readonly gaps: readonly Gap[]; // gaps[i] lies before pieces[i + 1]
  readonly joins: readonly Join[]; // gaps that the officer closed with a straight side
  readonly closed: boolean; // of an area
  readonly walk: "off" | "on" | "paused";
  /** Why and since when nothing was recorded, until the next position comes. */
  readonly pending: { readonly why: Why; readonly fromMS: number } | null;
  readonly heardMS: number | null; // of the newest fix in a walk, kept or not
  readonly chosen: Chosen | null;
  readonly walked: number; // positions that came by themselves since the last thing done by hand
  readonly before: readonly Course[]; // for undo, newest last
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

export const begun = (shape: "line" | "area"): Course => ({
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
export const stepM = 2;
/** A receiver silent for so long has lost the sky. */
export const silentMS = 15_000;
/** How far a person gets meanwhile. A brisk walk over rough ground; common practice, no source. */
const walkMps = 2;
const mostUndo = 60;

export function reduce(course: Course, action: Action): Course {
  switch (action.do) {
    case "walk":
      return course.walk === "on"
        ? course
        : { ...remembered(course), walk: "on", closed: false, chosen: null, pending: course.pending ?? waiting(course, "paused") };
    case "pause":
      return course.walk === "on" ? { ...course, walk: "paused", pending: course.pending ?? waiting(course, "paused") } : course;
    case "hidden":
      return course.walk === "on" ? { ...course, pending: course.pending ?? waiting(course, "hidden") } : course;
    case "fix":
      return course.walk === "on" ? walked(course, action.spot) : course;
    case "add":
      return course.closed ? course : added(course, action.spot);
    case "choose":
      return { ...course, chosen: action.chosen };
    case "nudge":
      return changed(course, (spots, i) => spots.map((s, j) => (j === i ? nudged(s, action.eastM, action.northM) : s)));
    case "move": {
      const moved = changed({ ...course, chosen: action.at }, (spots, i) =>
        spots.map((s, j) => (j === i ? drawnAt(s, action.to, action.accuracyM) : s)),
      );
      return { ...moved, chosen: course.chosen, ...(action.goesOn && { before: course.before }) };
    }
    case "insert":
      return inserted(course, action.piece, action.after, action.spot);
    case "take-out":
      return takenOut(course);
    case "split":
      return split(course);
    case "join":
      return joined(course, action.gap);
    case "close":
      return course.shape === "area" && !course.gaps.length && spotsOf(course).length > 2
        ? { ...remembered(course), closed: true, walk: "off", pending: null, chosen: null }
        : course;
    case "open":
      return { ...remembered(course), closed: false };
    case "clear":
      return { ...begun(course.shape), before: remembered(course).before };
    case "undo":
      return undone(course);
  }
}

export const spotsOf = (course: Course): readonly Spot[] => course.pieces.flat();

export function lastSpot(course: Course): Spot | undefined {
  for (let i = course.pieces.length - 1; i >= 0; i--) {
    const piece = course.pieces[i]!;
    if (piece.length) return piece[piece.length - 1];
  }
  return undefined;
}

export function chosenSpot(course: Course): Spot | undefined {
  return course.chosen ? course.pieces[course.chosen.piece]?.[course.chosen.spot] : undefined;
}

/** That nothing is recorded from the newest fix on. */
function waiting(course: Course, why: Why): Course["pending"] {
  const last = lastSpot(course);
  return last ? { why, fromMS: course.heardMS ?? last.atMS } : null;
}

/**
 * Adds a position by hand. It is joined to the last one, since the officer sees the line;
 * but not over a silence in a walk that has not been told yet.
 */
function added(course: Course, spot: Spot): Course {
  const { pending } = course;
  const done = { ...remembered(course), pending: null };
  if (!pending || pending.why === "paused") return { ...done, ...appended(course, spot) };
  return { ...done, ...begunAnew(course, pending, spot) };
}

function begunAnew(course: Course, { why, fromMS }: NonNullable<Course["pending"]>, spot: Spot): Pick<Course, "pieces" | "gaps"> {
  return { pieces: [...course.pieces, [spot]], gaps: [...course.gaps, { why, fromMS, toMS: spot.atMS }] };
}

/**
 * Takes a fix of a walk. After a silence it begins a new piece, unless the officer cannot
 * have left the place meanwhile: the fix lies where the last one did, within what both are
 * doubtful by, and if the page was hidden, it was for less than it takes to walk so far.
 * Some receivers say nothing at rest, so that their silence is kept as joined.
 */
function walked(course: Course, spot: Spot): Course {
  const heard = { ...course, pending: null, heardMS: spot.atMS };
  const grown = { ...heard, walked: course.walked + 1 };
  const last = lastSpot(course);
  if (!last) return { ...grown, ...appended(course, spot) };
  const silent = course.heardMS !== null && spot.atMS - course.heardMS > silentMS;
  const pending = course.pending ?? (silent ? { why: "no-fix" as const, fromMS: course.heardMS! } : null);
  const apartM = metresBetween(last, spot);
  if (pending) {
    const doubtM = last.accuracyM + spot.accuracyM;
    const couldWalkM = ((spot.atMS - pending.fromMS) / 1000) * walkMps;
    const near = apartM <= doubtM;
    const stayed = near && ((pending.why !== "hidden" && pending.why !== "closed") || couldWalkM <= doubtM);
    if (!stayed) return { ...grown, ...begunAnew(course, pending, spot) };
  }
  const joins = pending?.why === "no-fix" ? [...course.joins, { ...pending, toMS: spot.atMS, lengthM: apartM }] : course.joins;
  return apartM < stepM ? { ...heard, joins } : { ...grown, joins, ...appended(course, spot) };
}

function appended(course: Course, spot: Spot): Pick<Course, "pieces" | "chosen"> {
  const last = course.pieces.length - 1;
  return { pieces: course.pieces.map((piece, i) => (i === last ? [...piece, spot] : piece)), chosen: null };
}

/** A point put elsewhere on the map: neither its height nor its fix is of that place. */
function drawnAt(spot: Spot, to: Place, accuracyM: number): Spot {
  return { ...to, accuracyM, atMS: spot.atMS, how: "tapped" };
}

function inserted(course: Course, at: number, after: number, spot: Spot): Course {
  const piece = course.pieces[at];
  if (!piece || after < 0 || after >= piece.length) return course;
  return {
    ...remembered(course),
    pieces: course.pieces.map((p, i) => (i === at ? [...p.slice(0, after + 1), spot, ...p.slice(after + 1)] : p)),
    chosen: { piece: at, spot: after + 1 },
  };
}

/** Whether undo would take away the last point of the line, and not something done to another. */
export function undoesLastPoint(course: Course): boolean {
  if (course.walked > 0) return true;
  const was = course.before[course.before.length - 1];
  return was !== undefined && !course.closed && spotsOf(was).length === spotsOf(course).length - 1 && lastSpot(was) !== lastSpot(course);
}

function nudged(spot: Spot, eastM: number, northM: number): Spot {
  const { snappedTo, heightM, ...rest } = spot;
  void [snappedTo, heightM]; // it is no longer there
  return { ...rest, ...moved(spot, eastM, northM), how: "tapped" };
}

function changed(course: Course, change: (spots: readonly Spot[], i: number) => readonly Spot[]): Course {
  const { chosen } = course;
  if (!chosen || !chosenSpot(course)) return course;
  return { ...remembered(course), pieces: course.pieces.map((piece, i) => (i === chosen.piece ? change(piece, chosen.spot) : piece)) };
}

function takenOut(course: Course): Course {
  const { chosen } = course;
  if (!chosen || !chosenSpot(course)) return course;
  const cut = changed(course, (spots, i) => spots.filter((_, j) => j !== i));
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
function split(course: Course): Course {
  const { chosen } = course;
  const spot = chosenSpot(course);
  const piece = chosen && course.pieces[chosen.piece];
  if (!chosen || !spot || !piece || course.shape === "area" || chosen.spot === 0 || chosen.spot === piece.length - 1) return course;
  const gap: Gap = { why: "split", fromMS: spot.atMS, toMS: spot.atMS };
  return {
    ...remembered(course),
    pieces: [
      ...course.pieces.slice(0, chosen.piece),
      piece.slice(0, chosen.spot + 1),
      piece.slice(chosen.spot),
      ...course.pieces.slice(chosen.piece + 1),
    ],
    gaps: [...course.gaps.slice(0, chosen.piece), gap, ...course.gaps.slice(chosen.piece)],
    chosen: null,
  };
}

function joined(course: Course, i: number): Course {
  const gap = course.gaps[i],
    from = course.pieces[i],
    to = course.pieces[i + 1];
  if (!gap || !from?.length || !to?.length) return course;
  const rest = gap.why === "split" ? to.slice(1) : to; // a split has its position twice
  const join: Join = { ...gap, lengthM: metresBetween(from[from.length - 1]!, to[0]!) };
  return {
    ...remembered(course),
    pieces: [...course.pieces.slice(0, i), [...from, ...rest], ...course.pieces.slice(i + 2)],
    gaps: course.gaps.filter((_, j) => j !== i),
    joins: gap.why === "split" ? course.joins : [...course.joins, join],
    chosen: null,
  };
}

const remembered = (course: Course): Course => ({
  ...course,
  walked: 0,
  before: [...course.before, { ...course, before: [] }].slice(-mostUndo),
});

/** Takes back the newest: a position that came by itself, else the last thing done by hand. */
function undone(course: Course): Course {
  if (course.walked > 0) return withoutLast(course);
  const was = course.before[course.before.length - 1];
  return was ? { ...was, walk: was.walk === "on" ? "paused" : was.walk, before: course.before.slice(0, -1) } : course;
}

function withoutLast(course: Course): Course {
  const pieces = course.pieces.slice();
  const last = pieces.pop() ?? [];
  const rest = { ...course, walked: course.walked - 1, closed: false, chosen: null };
  if (last.length > 1 || pieces.length === 0) return { ...rest, pieces: [...pieces, last.slice(0, -1)] };
  // The gap before the position stays one: what comes next must not be joined over it.
  const gap = course.gaps[course.gaps.length - 1]!;
  return { ...rest, pieces, gaps: course.gaps.slice(0, -1), pending: { why: gap.why, fromMS: gap.fromMS } };
}

/** A course from a draft: whatever it was doing stopped when the page did. */
export function resumed(course: Omit<Course, "before">): Course {
  const whole: Course = { ...course, before: [], walked: 0 };
  return whole.walk === "on" ? { ...whole, walk: "paused", pending: whole.pending ?? waiting(whole, "closed") } : whole;
}
