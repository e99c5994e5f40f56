// One position of the line, to be moved, taken out, or made the place of a split: the tap
// form of dragging it.

import { useState } from "preact/hooks";
import { accuracyWords } from "../app/words.ts";
import { Button } from "../kit/button.tsx";
import type { Action, Chosen, Course } from "./course.ts";
import { chosenSpot, spotsOf } from "./course.ts";

const steps = [0.5, 2, 10]; // m

export function Position({ course, act }: { course: Course; act: (action: Action) => void }) {
  const [stepM, setStep] = useState(2);
  const spot = chosenSpot(course);
  const { chosen } = course;
  if (!spot || !chosen) return null;
  const all = places(course);
  const at = all.findIndex((c) => c.piece === chosen.piece && c.spot === chosen.spot);
  const go = (to: number) => act({ do: "choose", chosen: all[(to + all.length) % all.length]! });
  const nudge = (eastM: number, northM: number) => act({ do: "nudge", eastM: eastM * stepM, northM: northM * stepM });
  const inner = course.shape === "line" && chosen.spot > 0 && chosen.spot < course.pieces[chosen.piece]!.length - 1;
  const how = spot.snappedTo ? "snapped to the gully bed" : spot.how === "tapped" ? "tapped on the map" : spot.how;
  return (
    <section class="position" aria-label="Point">
      <p role="status">Point {at + 1} of {all.length}, <span class="soft">{how}, {accuracyWords(spot.accuracyM)}</span></p>
      <div class="row">
        <Button press={() => go(at - 1)}>Earlier</Button>
        <Button press={() => go(at + 1)}>Later</Button>
        <Button press={() => setStep(steps[(steps.indexOf(stepM) + 1) % steps.length]!)} label={`Moves by ${stepM} m: change the step`}>by {stepM} m</Button>
      </div>
      <div class="nudge" role="group" aria-label="Move it">
        <Arrow label={`${stepM} m west`} path="M20 12H4M11 5l-7 7 7 7" press={() => nudge(-1, 0)} />
        <Arrow label={`${stepM} m north`} path="M12 20V4M5 11l7-7 7 7" press={() => nudge(0, 1)} />
        <Arrow label={`${stepM} m south`} path="M12 4v16M5 13l7 7 7-7" press={() => nudge(0, -1)} />
        <Arrow label={`${stepM} m east`} path="M4 12h16M13 5l7 7-7 7" press={() => nudge(1, 0)} />
      </div>
      <div class="row">
        <Button press={() => act({ do: "take-out" })}>Remove</Button>
        {inner && <Button press={() => act({ do: "split" })}>Split here</Button>}
        <Button rank="main" press={() => act({ do: "choose", chosen: null })}>Done</Button>
      </div>
    </section>
  );
}

/** The newest position, to begin with. */
export function lastPlace(course: Course): Chosen | null {
  const all = places(course);
  return all[all.length - 1] ?? null;
}

function places(course: Course): Chosen[] {
  if (!spotsOf(course).length) return [];
  return course.pieces.flatMap((piece, i) => piece.map((_, j) => ({ piece: i, spot: j })));
}

function Arrow({ label, path, press }: { label: string; path: string; press: () => void }) {
  return (
    <button type="button" aria-label={label} onClick={press}>
      <svg viewBox="0 0 24 24" aria-hidden="true"><path d={path} /></svg>
    </button>
  );
}
