// Marking a point where one stands, in two taps: "Mark" starts the receiver, the kind
// saves. The thing is on the phone from that moment; the form that opens only adds to it.

import { useRef, useState } from "preact/hooks";
import { kindNamed, pointKinds, type Kind } from "../../base/kinds.ts";
import { goInPlace } from "../context/history.ts";
import { day, dayOf } from "../../base/words.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { KindChooser } from "../../ui/kindchooser.tsx";
import { Trouble } from "../../ui/panel.tsx";
import { type Told, troubleOf } from "../../storage/errors.ts";
import { Fill } from "./fill.tsx";
import { PlaceNote } from "./placenote.tsx";
import { placeFields, toStore } from "../../survey/form/position.ts";
import { usePlacing } from "./useplacing.ts";
import type { Fix } from "../../sensor/fix.ts";

export function Mark({ params }: { params: Params }) {
  const field = useField();
  const averaging = usePlacing();
  const { placing, tell } = averaging;
  const [made, setMade] = useState<{ feature: string; kind: Kind } | null>(null);
  const [failed, setFailed] = useState<Told | null>(null);
  const busy = useRef(false); // known to no drawing: the officer waits for "saved", not for buttons to turn grey

  const mark = async (kind: Kind) => {
    if (busy.current) return; // a second tap of a glove
    busy.current = true;
    const fix = toStore(placing);
    try {
      const said = `${kind.label} saved${fix ? "" : ", without a position yet"}`;
      const [saved] = await field.capture([{ set: firstFields(kind, fix) }], said);
      await saidOnScreen();
      if (fix) tell({ do: "stored", fix });
      setMade({ feature: saved!.feature, kind });
    } catch (error) {
      setFailed(troubleOf(error));
    }
    busy.current = false;
  };

  if (made)
    return (
      <Fill
        feature={made.feature}
        kind={made.kind}
        averaging={averaging}
        done={() => field.go("#/")}
        next={nextOf(made.kind.name, made.feature, goInPlace)}
      />
    );
  const wanted = params["kind"];
  return (
    <Frame
      title={wanted ? `Mark a ${kindNamed(wanted).label.toLowerCase()}` : "Mark where you stand"}
      actions={
        wanted && (
          <Button rank="main" wide press={() => void mark(kindNamed(wanted))}>
            Mark it here
          </Button>
        )
      }
    >
      {failed && <Trouble {...failed} />}
      <PlaceNote {...averaging} />
      <p class="soft note">Recorded on {day(dayOf(new Date()))}.</p>
      {!wanted && <KindChooser kinds={pointKinds} label="What is here" choose={(kind) => void mark(kind)} />}
    </Frame>
  );
}

/** A photo point is marked for its photo, a cover plot for its count. */
function nextOf(kind: string, id: string, go: (address: string) => void) {
  if (kind === "photo-point") return { words: "Save and take the photo", go: () => go(`#/photo/${id}`) };
  return kind === "cover-plot" ? { words: "Save and count the cover", go: () => go(`#/visit/${id}`) } : undefined;
}

/** Resolves when what was drawn last stands on the screen, or could if the page were in sight. */
function saidOnScreen(): Promise<void> {
  return new Promise((done) => {
    requestAnimationFrame(() => setTimeout(done));
    setTimeout(done, 100);
  });
}

/** What the second tap records: the kind, the day, and the place where there is one. */
function firstFields(kind: Kind, fix: Fix | null) {
  return { kind: kind.name, observedOn: dayOf(new Date()), ...(fix ? placeFields(fix) : {}) };
}
