// Of what to take a photo: the nearest things first, or a new photo point here.

import { useState } from "preact/hooks";
import { screens, type Params } from "../app/screens.ts";
import { kindOf } from "../entry.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";
import { KindMark } from "../kit/mark.tsx";
import { useNearest } from "../place/usenearest.ts";
import { nameOf } from "./named.ts";
import { PendingPhotos, useShots } from "./pending.tsx";
import { useStanding } from "./stand.ts";

const first = 12; // as many as a thumb scrolls through

export function ChooseForPhoto(_: { params: Params }) {
  const field = useField();
  const { fix } = useStanding();
  const [all, setAll] = useState(false);
  const { things, away, again } = useNearest(field.features, fix);
  const begun = useShots();
  return (
    <Frame
      title="Photo of what?"
      actions={screens.some((s) => s.route === "#/mark/:kind") && <a class="button wide main" href="#/mark/photo-point">New photo point here</a>}
    >
      {begun && (
        <>
          <PendingPhotos first={begun} />
          {things.length === 0 && <p class="soft">Nothing is marked yet. Mark an item, or a photo point, first.</p>}
          {things.length > 1 && <div class="stack"><Button wide disabled={!again} press={() => again?.()}>Nearest first</Button></div>}
          <ul class="list">
            {things.slice(0, all ? things.length : first).map((feature) => (
              <li key={feature.id}>
                <a href={`#/photo/${feature.id}`}>
                  <KindMark kind={kindOf(feature)} />
                  <span class="word">
                    <span class="name">{nameOf(feature)}</span>
                    <span class="soft">{away(feature)}</span>
                  </span>
                </a>
              </li>
            ))}
          </ul>
          {!all && things.length > first && <Button wide press={() => setAll(true)}>All {things.length}</Button>}
        </>
      )}
    </Frame>
  );
}
