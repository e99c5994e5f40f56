// One position of the line, to be moved, removed, or made the place of a split: the tap
// form of dragging it (WCAG 2.2, 2.5.7).

import { useState } from "preact/hooks";
import { accuracyWords } from "../../base/words.ts";
import { Button } from "../../ui/button.tsx";
import { type Action, type Chosen, chosenSpot, type Recording, spotsOf } from "../../survey/line/recording.ts";
import { sideAfter } from "../../survey/line/nearby.ts";
import type { Place } from "../../base/plane.ts";

const steps = [0.5, 2, 10]; // m

const hows = { walked: "by GPS, walked", stood: "by GPS", tapped: "placed on the map" } as const;

interface PositionProps {
  readonly recording: Recording;
  readonly act: (action: Action) => void;
  readonly cross: () => { readonly at: Place; readonly accuracyM: number } | null; // on the map
  readonly splits?: boolean; // whether a line may become two
  readonly alone?: boolean; // an item that is one point: there is nothing to add or remove
}

export function Position({ recording, act, cross, alone = false, splits = true }: PositionProps) {
  const [stepM, setStep] = useState(2);
  const spot = chosenSpot(recording);
  const { chosen } = recording;
  if (!spot || !chosen) return null;
  const all = places(recording);
  const at = all.findIndex((c) => c.piece === chosen.piece && c.spot === chosen.spot);
  const go = (to: number) => act({ do: "choose", chosen: all[(to + all.length) % all.length]! });
  const nudge = (eastM: number, northM: number) => act({ do: "nudge", eastM: eastM * stepM, northM: northM * stepM });
  const inner = recording.shape === "line" && chosen.spot > 0 && chosen.spot < recording.pieces[chosen.piece]!.length - 1;
  const next = alone ? null : sideAfter(recording, chosen);
  const toCross = () => {
    const to = cross();
    if (to) act({ do: "move", at: chosen, to: to.at, accuracyM: to.accuracyM, goesOn: false });
  };
  const how = spot.snappedTo ? "snapped to the thalweg" : hows[spot.how];
  return (
    <section class="position" aria-label="Point">
      <p role="status">
        {!alone && `Point ${at + 1} of ${all.length}, `}
        <span class="soft">
          {how}
          {spot.accuracyM > 0 && `, ${accuracyWords(spot.accuracyM)}`}
        </span>
      </p>
      <div class="row">
        {!alone && <Arrow label="Earlier" path="M15 4l-8 8 8 8" press={() => go(at - 1)} />}
        {!alone && <Arrow label="Later" path="M9 4l8 8-8 8" press={() => go(at + 1)} />}
        <Button press={toCross}>To the cross</Button>
        <Button press={() => setStep(steps[(steps.indexOf(stepM) + 1) % steps.length]!)} label={`Moves by ${stepM} m: change the step`}>
          by {stepM} m
        </Button>
      </div>
      <div class="nudge" role="group" aria-label="Move it">
        <Arrow label={`${stepM} m west`} path="M20 12H4M11 5l-7 7 7 7" press={() => nudge(-1, 0)} />
        <Arrow label={`${stepM} m north`} path="M12 20V4M5 11l7-7 7 7" press={() => nudge(0, 1)} />
        <Arrow label={`${stepM} m south`} path="M12 4v16M5 13l7 7 7-7" press={() => nudge(0, -1)} />
        <Arrow label={`${stepM} m east`} path="M4 12h16M13 5l7 7-7 7" press={() => nudge(1, 0)} />
      </div>
      <div class="row">
        {!alone && <Button press={() => act({ do: "take-out" })}>Remove</Button>}
        {!alone && (
          <Button
            disabled={!next}
            press={() =>
              next &&
              act({
                do: "insert",
                piece: next.piece,
                after: next.after,
                spot: { ...next.at, accuracyM: spot.accuracyM, atMS: Date.now(), how: "tapped" },
              })
            }
          >
            Add after
          </Button>
        )}
        {inner && splits && <Button press={() => act({ do: "split" })}>Split here</Button>}
        {!alone && (
          <Button rank="main" press={() => act({ do: "choose", chosen: null })}>
            Done
          </Button>
        )}
      </div>
    </section>
  );
}

/** The newest position, to begin with. */
export function lastPlace(recording: Recording): Chosen | null {
  const all = places(recording);
  return all[all.length - 1] ?? null;
}

function places(recording: Recording): Chosen[] {
  if (!spotsOf(recording).length) return [];
  return recording.pieces.flatMap((piece, i) => piece.map((_, j) => ({ piece: i, spot: j })));
}

function Arrow({ label, path, press }: { label: string; path: string; press: () => void }) {
  return (
    <button type="button" aria-label={label} onClick={press}>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d={path} />
      </svg>
    </button>
  );
}
