// What the staff stands on: a thing of the property, and the spot on it.

import { useState } from "preact/hooks";
import { Button } from "../../ui/button.tsx";
import { type Feature, kindOf, placeOf } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { NearList } from "../part/nearlist.tsx";
import { type KnownPoint, levelOfMark } from "../../survey/levelbook/known.ts";
import { toMillimetre } from "../../base/number.ts";
import { lineLengthM } from "../../survey/setout/along.ts";
import { type Row, type Spot, spotsOf, type Stand, wantsChainage } from "../../survey/levelbook/row.ts";
import { ownNameOf } from "../../base/names.ts";

interface StandChooserProps {
  readonly stand: Stand | null;
  readonly rows: readonly Row[]; // of the book, for the levels it knows
  readonly closing: readonly KnownPoint[]; // points of the book that are no items, on which it may close now
  readonly point: string; // as it was typed or chosen
  readonly pick: (stand: Stand | null, known?: { readonly point?: string; readonly levelM: number | undefined }) => void;
}

export function StandChooser({ stand, rows, closing, point, pick }: StandChooserProps) {
  const field = useField();
  const [open, setOpen] = useState(false);
  if (!open) {
    return (
      <button type="button" class="b-plain stand" aria-expanded={false} onClick={() => setOpen(true)}>
        <span class="soft">Staff on</span>{" "}
        {stand ? `${stand.name}, ${stand.spot}` : closing.some((k) => k.point === point) ? point : "nothing marked"}
      </button>
    );
  }
  const things = field.features.filter((f) => !f.struck && spotsOf(kindOf(f)).length > 0);
  const chosen = (f: Feature, spot: Spot) => {
    setOpen(false);
    const marked = kindOf(f) === "cross-section";
    const lengthM = wantsChainage({ spot, marked }) ? lineLengthM(placeOf(f)) : undefined;
    const on = { feature: f.id, name: ownNameOf(f), spot, ...(lengthM === undefined ? {} : { lengthM }), ...(marked ? { marked } : {}) };
    pick(on, { levelM: spot === "mark" ? levelOfMark(f, rows, field.features) : undefined });
  };
  return (
    <fieldset class="choice stands">
      <legend>What the staff stands on</legend>
      <Button
        wide
        pressed={!stand && !closing.some((k) => k.point === point)}
        press={() => {
          setOpen(false);
          pick(null);
        }}
      >
        Nothing marked
      </Button>
      {closing.map((k) => (
        <Button
          key={k.point}
          wide
          pressed={!stand && k.point === point}
          press={() => {
            setOpen(false);
            pick(null, k);
          }}
        >
          {k.point}, known level {toMillimetre(k.levelM)}
        </Button>
      ))}
      {things.length === 0 ? (
        <p class="soft">There is nothing to level on this property yet. Mark a dam, a thalweg, a rip line or a benchmark first.</p>
      ) : (
        <NearList
          items={things}
          label="What the staff can stand on"
          acts={(f) =>
            spotsOf(kindOf(f)).map((spot) => (
              <Button
                key={spot}
                pressed={stand?.feature === f.id && stand.spot === spot}
                press={() => chosen(f, spot)}
                label={`${ownNameOf(f)}, ${spot}`}
              >
                {spot}
              </Button>
            ))
          }
        />
      )}
    </fieldset>
  );
}
