// Dragging a point of a line on the map. It is chosen when it is put down, not before: what
// is shown of a chosen point must not move the map under the finger.

import { useRef } from "preact/hooks";
import type { Place } from "../place/ground.ts";
import type { Action, Chosen, Course } from "./course.ts";
import { pointNear } from "./nearby.ts";

export const fingerPx = 24; // a fingertip on the map

interface Drag {
  readonly grab: (at: Place, metresPerPx: number) => boolean;
  readonly drag: (to: Place, metresPerPx: number) => void;
  readonly drop: () => void;
}

/** accuracyM is how good a place on the map is at a scale. */
export function useDrag(course: Course, act: (action: Action) => void, accuracyM: (to: Place, metresPerPx: number) => number): Drag {
  const held = useRef<{ at: Chosen; moved: boolean } | null>(null);
  return {
    grab: (at, metresPerPx) => {
      const near = course.walk === "on" ? null : pointNear(course, at, fingerPx * metresPerPx);
      held.current = near && { at: near, moved: false };
      return near !== null;
    },
    drag: (to, metresPerPx) => {
      if (!held.current) return;
      act({ do: "move", at: held.current.at, to, accuracyM: accuracyM(to, metresPerPx), goesOn: held.current.moved });
      held.current.moved = true;
    },
    drop: () => {
      if (held.current?.moved) act({ do: "choose", chosen: held.current.at });
      held.current = null;
    },
  };
}
