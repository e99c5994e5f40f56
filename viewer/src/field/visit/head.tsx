// Where a gully head stands now: taped from the hub peg, or by the receiver beside it.

import { useEffect, useState } from "preact/hooks";
import { accuracyWords, day } from "../../base/words.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { NumberInput } from "../../ui/input.tsx";
import { Caution } from "../../ui/panel.tsx";
import { placed } from "../../sensor/fixfields.ts";
import { useAsked } from "../../compute/useasked.ts";
import { retreatInput, retreatWords, type Retreat } from "../../survey/visit/retreat.ts";
import { measured } from "../../survey/visit/form.ts";
import type { Seasons } from "../../survey/visit/season.ts";
import { lastOf, type PastVisit } from "../../survey/visit/visits.ts";
import { Meaning, type PartProps } from "./meaning.tsx";
import type { Fix } from "../../sensor/fix.ts";

interface HeadProps extends PartProps {
  readonly thing: Feature;
  readonly visits: readonly PastVisit[];
  readonly seasons: Seasons;
  readonly today: string;
}

export function Head({ form, act, wrong, doubt, thing, visits, seasons, today }: HeadProps) {
  const { metres: headOffsetM } = measured(form, "headOffset");
  const head = form.headPlace && headOf(form.headPlace);
  const now = { on: today, ...(headOffsetM === undefined ? {} : { headOffsetM }), ...(head ? { head } : {}) };
  const { output, refused } = useAsked(useField().model, "retreat", retreatInput(thing, visits, now, seasons.wet), true);
  const last = lastOf(visits.filter((l) => l.headOffsetM !== undefined));
  return (
    <section aria-labelledby="head">
      <h2 id="head">The head</h2>
      <NumberInput
        label="Taped from the hub peg"
        unit="m"
        value={form.headOffset}
        change={(text) => act({ do: "type", field: "headOffset", text })}
        wrong={wrong}
        hint={
          last?.headOffsetM === undefined
            ? "The peg stands upstream of the head."
            : `${last.headOffsetM.toFixed(2)} m on ${day(last.on)}; the peg stands upstream.`
        }
      />
      <Meaning {...{ form, act, wrong, doubt }} measure="headOffset" />
      {output && <RetreatFound retreat={output} />}
      {refused && (
        <p class="wrong">
          {refused.reason}. {refused.fix}
        </p>
      )}
      <PlaceOfHead place={form.headPlace} put={(place) => act({ do: "head", place })} />
      <Caution>Stay off undercut walls and cracked ground. Read the head from the side.</Caution>
    </section>
  );
}

function headOf(place: Fields): NonNullable<PastVisit["head"]> {
  const { coordinates } = place["geometry"] as { coordinates: readonly [number, number] };
  return { position: coordinates, accuracyM: place["accuracyM"] as number, basis: "GPS" }; // by the receiver: nothing else gives it here
}

function RetreatFound({ retreat }: { retreat: Retreat }) {
  const words = retreatWords(retreat);
  return (
    <div class="figure" role="status">
      <p class="large">{words.moved}</p>
      <p class="verdict">{words.sure}</p>
      {words.rate && <p>{words.rate}</p>}
    </div>
  );
}

/** The place averaged while it is open; kept as it is when the officer says so. */
function PlaceOfHead({ place, put }: { place: Fields | undefined; put: (place: Fields | undefined) => void }) {
  const { fixes } = useField();
  const [open, setOpen] = useState(false);
  const [mean, setMean] = useState<Fix | undefined>();
  const [trouble, setTrouble] = useState("");
  useEffect(() => {
    if (!open) return;
    setMean(undefined);
    return fixes.average((m) => {
      setMean(m);
      setTrouble("");
    }, setTrouble);
  }, [open]);
  if (place) {
    return (
      <p class="kept">
        Position of the head taken, {accuracyWords(Number(place["accuracyM"]))}.
        <Button rank="quiet" press={() => put(undefined)}>
          Remove
        </Button>
      </p>
    );
  }
  if (!open)
    return (
      <Button wide press={() => setOpen(true)}>
        I stand at the head: take its position
      </Button>
    );
  return (
    <div>
      <p role="status">
        {mean ? `${accuracyWords(mean.accuracyM)} from ${mean.count} fixes. Stay here for a better one.` : trouble || "Waiting for GPS…"}
      </p>
      <Button
        wide
        press={() => {
          put(placed(mean!));
          setOpen(false);
        }}
        disabled={!mean || mean.unsure === true}
      >
        Keep this position
      </Button>
    </div>
  );
}
