// Of what to take a photo: the nearest items first, or a new photo point here.

import { useMemo } from "preact/hooks";
import type { Params } from "../context/field.ts";
import { useField } from "../context/field.ts";
import { Frame } from "../../ui/frame.tsx";
import { NearList } from "../part/nearlist.tsx";
import { isItem } from "../../base/nearest.ts";
import { PendingPhotos, useShots } from "../part/pendingphotos.tsx";

export function ChooseForPhoto(_: { params: Params }) {
  const field = useField();
  const begun = useShots();
  const items = useMemo(() => field.features.filter(isItem), [field.features]);
  return (
    <Frame
      title="Photo of what?"
      actions={
        <a class="button wide main" href="#/mark/photo-point">
          New photo point here
        </a>
      }
    >
      {begun && (
        <>
          <PendingPhotos first={begun} />
          <NearList
            items={items}
            label="Items"
            to={(f) => `#/photo/${f.id}`}
            none="Nothing is marked yet. Mark an item, or a photo point, first."
          />
        </>
      )}
    </Frame>
  );
}
