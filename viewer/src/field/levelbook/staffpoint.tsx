// What the staff stands on: a thing of the property, and the spot on it.

import { useState } from "preact/hooks";
import { Button } from "../../ui/button.tsx";
import { type Feature, kindOf } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { NearList } from "../part/nearlist.tsx";
import { levelOfMark } from "../../survey/levelbook/known.ts";
import { type Row, type Spot, spotsOf, type Stand } from "../../survey/levelbook/row.ts";
import { ownNameOf } from "../../base/names.ts";

export const spotWords: { readonly [spot in Spot]: string } = { bed: "bed", toe: "toe", crest: "crest", peg: "peg", mark: "mark" };

interface StandChooserProps {
  readonly stand: Stand | null;
  readonly rows: readonly Row[]; // of the book, for the levels it knows
  readonly pick: (stand: Stand | null, knownM?: number) => void;
}

export function StandChooser({ stand, rows, pick }: StandChooserProps) {
  const field = useField();
  const [open, setOpen] = useState(false);
  if (!open) {
    return (
      <button type="button" class="b-plain stand" aria-expanded={false} onClick={() => setOpen(true)}>
        <span class="soft">Staff on</span> {stand ? `${stand.name}, ${spotWords[stand.spot]}` : "nothing marked"}
      </button>
    );
  }
  const things = field.features.filter((f) => !f.struck && spotsOf(kindOf(f)).length > 0);
  const chosen = (f: Feature, spot: Spot) => {
    setOpen(false);
    pick({ feature: f.id, name: ownNameOf(f), spot }, spot === "mark" ? levelOfMark(f, rows, field.features) : undefined);
  };
  return (
    <fieldset class="choice stands">
      <legend>What the staff stands on</legend>
      <Button
        wide
        pressed={!stand}
        press={() => {
          setOpen(false);
          pick(null);
        }}
      >
        Nothing marked
      </Button>
      {things.length === 0 && (
        <p class="soft">There is nothing to level on this property yet. Mark a dam, a thalweg, a rip line or a benchmark first.</p>
      )}
      {things.length > 0 && (
        <NearList
          items={things}
          label="What the staff can stand on"
          acts={(f) =>
            spotsOf(kindOf(f)).map((spot) => (
              <Button
                key={spot}
                pressed={stand?.feature === f.id && stand.spot === spot}
                press={() => chosen(f, spot)}
                label={`${ownNameOf(f)}, ${spotWords[spot]}`}
              >
                {spotWords[spot]}
              </Button>
            ))
          }
        />
      )}
    </fieldset>
  );
}
