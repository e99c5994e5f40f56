// The photos that are not yet recorded: those for which the camera was opened, and those
// whose bytes lie on the phone and are still to be brought to size. Pure; photostore.ts keeps it.

import type { Fields } from "../../base/entry.ts";
import type { Told } from "./exif.ts";
import type { Purpose } from "./purpose.ts";

export interface Shot {
  readonly id: string; // of the feature as which it will be recorded, made beforehand: saving twice makes one
  readonly property: string;
  readonly of: string; // the thing it shows
  readonly named: string; // that thing's name, for asking again
  readonly purpose: Purpose;
  readonly atMS: number; // of the tap, by this phone's clock
  readonly stand: Fields; // where the officer stood at the tap of the camera, by our own receiver; empty when it had no fix
  readonly gallery?: boolean; // asked for from the gallery from the first
  readonly bearingDeg?: number; // the camera's, by the phone's compass
  readonly stage: "expected" | "asked" | "kept"; // asked and kept: its bytes are on the phone; asked: nobody said yet when it was taken
  readonly from?: Chosen; // of a picture that was not taken at the tap
  readonly ready?: boolean; // the kept bytes are of the right size already
  readonly sha?: string; // of what is being recorded
  readonly trouble?: string; // why it could not be brought to size
}

/** A picture of another time: what its file says, and what the officer answered. */
export interface Chosen {
  readonly told: Told;
  readonly answer?: Answer;
}

export interface Answer {
  readonly on: string; // day, "" when it is not known
  readonly placed: boolean; // at the place that the picture tells
}

export type PendingAction =
  | { readonly do: "expect"; readonly shot: Shot }
  | { readonly do: "again"; readonly shot: Shot }
  | { readonly do: "keep"; readonly id: string; readonly ready: boolean; readonly told?: Told }
  | { readonly do: "sized"; readonly id: string }
  | { readonly do: "answer"; readonly id: string; readonly answer: Answer }
  | { readonly do: "made"; readonly id: string; readonly sha: string }
  | { readonly do: "stuck"; readonly id: string; readonly trouble: string }
  | { readonly do: "done"; readonly id: string };

export function reduceShots(shots: readonly Shot[], action: PendingAction): readonly Shot[] {
  const change = (id: string, to: (shot: Shot) => Shot) => shots.map((s) => (s.id === id ? to(s) : s));
  switch (action.do) {
    case "expect": // one camera is open at a time for a thing: the newest is asked for
      return [...shots.filter((s) => !(s.stage === "expected" && s.of === action.shot.of) && s.id !== action.shot.id), action.shot];
    case "again": // asked for again, maybe at another place
      return change(action.shot.id, () => action.shot);
    case "keep":
      return change(action.id, (s) => withBytes(s, action.ready, action.told));
    case "sized":
      return change(action.id, ({ trouble: _, ...s }) => ({ ...s, ready: true }));
    case "answer":
      return change(action.id, (s) => (s.from ? { ...s, stage: "kept", from: { ...s.from, answer: action.answer } } : s));
    case "made":
      return change(action.id, (s) => ({ ...s, sha: action.sha }));
    case "stuck":
      return change(action.id, (s) => ({ ...s, trouble: action.trouble }));
    case "done":
      return shots.filter((s) => s.id !== action.id);
  }
}

/** With told it was not taken at the tap: where the officer stood then says nothing of it. */
function withBytes({ trouble: _, sha: __, from: ___, ...shot }: Shot, ready: boolean, told: Told | undefined): Shot {
  if (!told) return { ...shot, stage: "kept", ready };
  const { bearingDeg: ____, ...unplaced } = shot;
  return { ...unplaced, stand: {}, stage: "asked", ready, from: { told } };
}

export const expected = (shots: readonly Shot[]): readonly Shot[] => shots.filter((s) => s.stage === "expected");
export const asked = (shots: readonly Shot[]): readonly Shot[] => shots.filter((s) => s.stage === "asked");
export const kept = (shots: readonly Shot[]): readonly Shot[] => shots.filter((s) => s.stage === "kept");
