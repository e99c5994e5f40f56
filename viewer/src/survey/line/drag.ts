// Dragging a point of a line on the map. It is chosen when it is put down, not before: what
// is shown of a chosen point must not move the map under the finger. Pure.

import type { Place } from "../../base/plane.ts";
import type { Action, Chosen, Recording } from "./recording.ts";
import { pointNear } from "./nearby.ts";

export const fingerPx = 24; // a fingertip on the map

export interface Drag {
  readonly grab: (at: Place, metresPerPx: number) => boolean;
  readonly drag: (to: Place, metresPerPx: number) => void;
  readonly drop: () => void;
}

/** What a drag finds when it begins and ends. */
export interface Around {
  readonly recording: Recording;
  readonly act: (action: Action) => void;
  /** How good a place on the map is at a scale. It looks at every item, so that it is asked once a drag. */
  readonly accuracyM: (to: Place, metresPerPx: number) => number;
}

/** The drags of a map one after the other, each in what is around it then. */
export function dragOf(around: () => Around): Drag {
  let held: { readonly at: Chosen; readonly wasM: number; to?: Place; metresPerPx: number } | null = null;
  const move = (to: Place, accuracyM: number, goesOn: boolean) => around().act({ do: "move", at: held!.at, to, accuracyM, goesOn });
  return {
    grab(at, metresPerPx) {
      const { recording } = around();
      const near = recording.walk === "on" ? null : pointNear(recording, at, fingerPx * metresPerPx);
      held = near && { at: near, wasM: recording.pieces[near.piece]![near.spot]!.accuracyM, metresPerPx };
      return near !== null;
    },
    drag(to, metresPerPx) {
      if (!held) return;
      move(to, held.wasM, held.to !== undefined);
      held = { ...held, to, metresPerPx };
    },
    drop() {
      if (held?.to) {
        move(held.to, around().accuracyM(held.to, held.metresPerPx), true);
        around().act({ do: "choose", chosen: held.at });
      }
      held = null;
    },
  };
}
