// Photos of one thing: take another, look at those there are.

import { useState } from "preact/hooks";
import { day, dayOf } from "../../base/words.ts";
import type { Feature } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Frame } from "../../ui/frame.tsx";
import { ofItem } from "../part/ofitem.tsx";
import { Fold, Trouble } from "../../ui/panel.tsx";
import { album } from "../../base/album.ts";
import { ownNameOf } from "../../base/names.ts";
import { isUndated, PendingPhotos, usePending, useShots } from "../part/pendingphotos.tsx";
import { sizeFor, sizes, type Purpose } from "../../survey/photo/purpose.ts";
import { Album } from "../../item/photoview.tsx";
import { useStanding } from "../part/camerapose.ts";
import { StandingWords } from "./standing.tsx";
import { useTaking } from "../part/taking.ts";
import { WhenTaken } from "./when.tsx";

export const Photo = ofItem(PhotosOf, { named: "feature", title: "Photo" });

function PhotosOf({ feature: of }: { feature: Feature }) {
  const field = useField();
  const standing = useStanding();
  const taking = useTaking();
  const [purpose, setPurpose] = useState<Purpose>("record");
  const size = sizeFor(purpose);
  const pictures = album(of.id, field.features);
  const begun = useShots();
  const undated = usePending(of.id, begun ?? []).asked.find(isUndated);
  if (undated?.from) return <WhenTaken key={undated.id} shot={undated} from={undated.from} />;
  return (
    <Frame
      title={`Photos of ${ownNameOf(of)}`}
      under={<p class="soft">Photos taken now are dated {day(dayOf(new Date()))}.</p>}
      actions={
        <>
          <Row>
            <Button press={() => field.go(`#/photo/${of.id}/again`)}>{pictures.length ? "Match the last" : "Camera here"}</Button>
            <Button press={() => void taking.open(of, purpose, "gallery", standing)}>Gallery</Button>
          </Row>
          <Button rank="main" wide press={() => void taking.open(of, purpose, "camera", standing)}>
            Take photo
          </Button>
        </>
      }
    >
      {begun && (
        <>
          <PendingPhotos of={of.id} first={begun} />
          {taking.trouble && <Trouble {...taking.trouble} />}
          <StandingWords standing={standing} busy={taking.busy} />
          <Fold title={`Size: ${size.label.toLowerCase()}`}>
            <Choice
              label="Kept as"
              required
              of={sizes.map((s) => ({ value: s.purpose, label: s.label }))}
              value={purpose}
              pick={(p) => p && setPurpose(p as Purpose)}
            />
            <p class="soft note">
              {size.hint}: {size.longSidePx} pixels along the long side
            </p>
          </Fold>
          {pictures.length === 0 && <p class="soft">No photos yet.</p>}
          <Album store={field.store} pictures={pictures} to={(sha) => `#/photo/${of.id}/${sha}`} />
        </>
      )}
    </Frame>
  );
}
