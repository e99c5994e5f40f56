// Asks when a picture from the gallery was taken, and shows what its file says of that and of
// its place, before it is recorded: a date that nobody saw is not written.

import { useEffect, useState } from "preact/hooks";
import { accuracyWords, day, dayOf, distance } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Frame } from "../../ui/frame.tsx";
import { DateInput } from "../../ui/input.tsx";
import { Trouble } from "../../ui/panel.tsx";
import { type Told as Failure, troubleOf } from "../../storage/errors.ts";
import { awayOf } from "../../base/away.ts";
import { processAll } from "../part/processing.ts";
import { photoStoreOf } from "../../survey/photo/photostore.ts";
import type { Chosen, Shot } from "../../survey/photo/pendingphotos.ts";
import { dayTold } from "../../survey/photo/taken.ts";

type When = "told" | "today" | "other" | "unknown";

export function WhenTaken({ shot, from: { told } }: { shot: Shot; from: Chosen }) {
  const field = useField();
  const store = photoStoreOf(field.store);
  const today = dayOf(new Date());
  const dayOfFile = dayTold(told, today);
  const [when, setWhen] = useState<When | undefined>(dayOfFile ? "told" : undefined);
  const [other, setOther] = useState("");
  const [placed, setPlaced] = useState(told.place !== undefined);
  const [wrong, setWrong] = useState("");
  const [trouble, setTrouble] = useState<Failure | undefined>();
  const save = async () => {
    if (!when) return setWrong("Choose one. Choose Not known where nobody can say.");
    if (when === "other" && !other) return setWrong("Enter the day.");
    if (when === "other" && other > today) return setWrong("This day is still to come.");
    const on = when === "told" ? dayOfFile! : when === "today" ? today : when === "other" ? other : "";
    try {
      await store.note({ do: "answer", id: shot.id, answer: { on, placed } });
      await processAll(field);
    } catch (error) {
      setTrouble(troubleOf(error));
    }
  };
  const answer = (to: When) => {
    setWhen(to);
    setWrong("");
  };
  return (
    <Frame
      title="When was it taken?"
      under={<p class="soft">Picture of {shot.named}, from the gallery</p>}
      actions={
        <Row>
          <Button press={() => void store.done(shot.id)}>Discard</Button>
          <Button rank="main" press={() => void save()}>
            Save photo
          </Button>
        </Row>
      }
    >
      {trouble && <Trouble {...trouble} />}
      <div class="when">
        <Small shot={shot} />
        <p>
          {dayOfFile
            ? `The camera's clock said ${day(dayOfFile)}.`
            : told.takenAt
              ? `The camera's clock said ${day(told.takenAt.slice(0, 10))}, which is still to come.`
              : "The picture has no date."}
        </p>
      </div>
      <Choice
        label="Taken"
        required
        of={[
          ...(dayOfFile ? [{ value: "told", label: day(dayOfFile) }] : []),
          ...(dayOfFile === today ? [] : [{ value: "today", label: "Today" }]),
          { value: "other", label: "On another day" },
          { value: "unknown", label: "Not known" },
        ]}
        value={when}
        pick={(v) => answer(v as When)}
        wrong={when === "other" ? undefined : wrong || undefined}
      />
      {when === "other" && (
        <DateInput
          label="Day"
          value={other}
          change={(v) => {
            setOther(v);
            setWrong("");
          }}
          required
          wrong={wrong || undefined}
        />
      )}
      {told.place ? (
        <>
          <Choice
            label="Position"
            hint="the camera's"
            required
            of={[
              { value: "yes", label: "Keep" },
              { value: "no", label: "Leave out" },
            ]}
            value={placed ? "yes" : "no"}
            pick={(v) => setPlaced(v === "yes")}
          />
          <PlaceTold shot={shot} place={told.place} />
        </>
      ) : (
        <p class="soft">The picture has no position: it is kept with {shot.named}, without a position of its own.</p>
      )}
    </Frame>
  );
}

function PlaceTold({ shot, place }: { shot: Shot; place: NonNullable<Chosen["told"]["place"]> }) {
  const { features } = useField();
  const of = features.find((f) => f.id === shot.of);
  const away = of && awayOf(of, place);
  const words = [away && `${distance(away.distanceM)} from ${shot.named}`, place.accuracyM !== undefined && accuracyWords(place.accuracyM)]
    .filter(Boolean)
    .join(", ");
  return words ? <p class="soft">Taken {words}.</p> : null;
}

/** The picture, so that the officer knows which one it is. */
function Small({ shot }: { shot: Shot }) {
  const store = photoStoreOf(useField().store);
  const [address, setAddress] = useState<string | undefined>();
  useEffect(() => {
    let made: string | undefined;
    let here = true;
    if (!shot.ready) return; // as the camera gave it, it may take more memory than the phone has
    store.bytes(shot.id).then(
      (bytes) => here && bytes && setAddress((made = URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" })))),
      () => {},
    );
    return () => {
      here = false;
      if (made) URL.revokeObjectURL(made);
    };
  }, [shot.id, shot.ready]);
  return <div class="small">{address && <img class="photo" src={address} alt={`Chosen for ${shot.named}`} />}</div>;
}
