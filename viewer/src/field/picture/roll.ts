// The photos that are not yet recorded: those for which the camera was opened, and those
// whose bytes lie on the phone and are still to be brought to size. Pure; film.ts keeps it.

import type { Fields } from "../entry.ts";
import type { Purpose } from "./purpose.ts";

export interface Shot {
  readonly id: string; // of the feature as which it will be recorded, made beforehand: saving twice makes one
  readonly property: string;
  readonly of: string; // the thing it shows
  readonly named: string; // that thing's name, for asking again
  readonly purpose: Purpose;
  readonly atMS: number; // of the tap, by this phone's clock
  readonly stand: Fields; // where the officer stood at the tap, by our own receiver; empty when it had no fix
  readonly bearingDeg?: number; // the camera's, by the phone's compass
  readonly stage: "expected" | "kept"; // kept: its bytes are on the phone
  readonly ready?: boolean; // the kept bytes are of the right size already
  readonly sha?: string; // of what is being recorded
  readonly trouble?: string; // why it could not be brought to size
}

export type RollAction =
  | { readonly do: "expect"; readonly shot: Shot }
  | { readonly do: "again"; readonly shot: Shot }
  | { readonly do: "keep"; readonly id: string; readonly ready: boolean }
  | { readonly do: "made"; readonly id: string; readonly sha: string }
  | { readonly do: "stuck"; readonly id: string; readonly trouble: string }
  | { readonly do: "done"; readonly id: string };

export function roll(shots: readonly Shot[], action: RollAction): readonly Shot[] {
  const change = (id: string, to: (shot: Shot) => Shot) => shots.map((s) => (s.id === id ? to(s) : s));
  switch (action.do) {
    case "expect": // one camera is open at a time for a thing: the newest is asked for
      return [...shots.filter((s) => !(s.stage === "expected" && s.of === action.shot.of) && s.id !== action.shot.id), action.shot];
    case "again": // asked for again, maybe at another place
      return change(action.shot.id, () => action.shot);
    case "keep":
      return change(action.id, ({ trouble: _, ...s }) => ({ ...s, stage: "kept", ready: action.ready }));
    case "made":
      return change(action.id, (s) => ({ ...s, sha: action.sha }));
    case "stuck":
      return change(action.id, (s) => ({ ...s, trouble: action.trouble }));
    case "done":
      return shots.filter((s) => s.id !== action.id);
  }
}

export const expected = (shots: readonly Shot[]): readonly Shot[] => shots.filter((s) => s.stage === "expected");
export const kept = (shots: readonly Shot[]): readonly Shot[] => shots.filter((s) => s.stage === "kept");
