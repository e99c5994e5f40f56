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
  const all = places(course);
  if (!all.length) return null;
  const spot = chosenSpot(course);
  const at = course.chosen ? all.findIndex((c) => c.piece === course.chosen!.piece && c.spot === course.chosen!.spot) : -1;
  const go = (to: number) => act({ do: "choose", chosen: all[(to + all.length) % all.length]! });
  const nudge = (eastM: number, northM: number) => act({ do: "nudge", eastM: eastM * stepM, northM: northM * stepM });
  const inner = spot && course.shape === "line" && course.chosen!.spot > 0 && course.chosen!.spot < course.pieces[course.chosen!.piece]!.length - 1;
  return (
    <section class="position" aria-label="One position">
      <h2>{spot ? `Position ${at + 1} of ${all.length}` : "Change a position"}</h2>
      {spot && <p class="soft" role="status">{spot.snappedTo ? "on the thalweg" : spot.how === "tapped" ? "tapped on the map" : spot.how}, {accuracyWords(spot.accuracyM)}</p>}
      <div class="row">
        <Button press={() => go(at < 0 ? all.length - 1 : at - 1)}>{spot ? "Earlier" : "The last one"}</Button>
        {spot && <Button press={() => go(at + 1)}>Later</Button>}
        {spot && <Button press={() => act({ do: "choose", chosen: null })}>Leave it</Button>}
      </div>
      {spot && (
        <>
          <div class="nudge" role="group" aria-label="Move it">
            <Arrow label={`${stepM} m west`} path="M20 12H4M11 5l-7 7 7 7" press={() => nudge(-1, 0)} />
            <Arrow label={`${stepM} m north`} path="M12 20V4M5 11l7-7 7 7" press={() => nudge(0, 1)} />
            <Arrow label={`${stepM} m south`} path="M12 4v16M5 13l7 7 7-7" press={() => nudge(0, -1)} />
            <Arrow label={`${stepM} m east`} path="M4 12h16M13 5l7 7-7 7" press={() => nudge(1, 0)} />
          </div>
          <div class="row" role="group" aria-label="How far it moves">
            {steps.map((m) => <Button key={m} pressed={m === stepM} press={() => setStep(m)}>{m} m</Button>)}
          </div>
          <div class="row">
            <Button press={() => act({ do: "take-out" })}>Take it out</Button>
            {inner && <Button press={() => act({ do: "split" })}>Split here</Button>}
          </div>
        </>
      )}
    </section>
  );
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
