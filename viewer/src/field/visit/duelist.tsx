// What to visit: everything that can be visited, the nearest first, with what is due said
// beside it. What stands at hand is never pushed away by what is due elsewhere.

import { useMemo, useState } from "preact/hooks";
import { dayOf } from "../../base/words.ts";
import type { Feature } from "../../base/entry.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame, Opening } from "../../ui/frame.tsx";
import { NearList } from "../part/nearlist.tsx";
import { isItem } from "../../base/nearest.ts";
import { dueNow } from "../../survey/visit/due.ts";
import { SeasonSetting } from "./seasonsetting.tsx";
import { useSeasons } from "./useseasons.ts";

export function Visits(_: { params: Params }) {
  const field = useField();
  const [seasons, setSeasons] = useSeasons();
  const [dueOnly, setDueOnly] = useState(false);
  const today = dayOf(new Date());
  const due = useMemo(
    () => new Map(seasons && dueNow(field.features, today, seasons).map((d) => [d.feature.id, d])),
    [field.features, today, seasons],
  );
  const items = useMemo(() => field.features.filter((f) => isItem(f) && (!dueOnly || due.has(f.id))), [field.features, dueOnly, due]);
  if (!seasons) return <Opening title="Visit" words="Checking what is due…" />;
  const to = (f: Feature) => (due.get(f.id)?.what === "photo" ? `#/photo/${f.id}/again` : `#/visit/${f.id}`);
  const about = (f: Feature) => {
    const found = due.get(f.id);
    return found && `due: ${found.words}`;
  };
  return (
    <Frame title="Visit">
      <NearList
        items={items}
        label="Items to visit"
        to={to}
        about={about}
        none={dueOnly ? "Nothing is due." : "There is nothing to visit yet."}
      >
        {due.size > 0 || dueOnly ? (
          <Button pressed={dueOnly} press={() => setDueOnly(!dueOnly)}>
            Due: {due.size}
          </Button>
        ) : (
          items.length > 0 && <p>Nothing is due.</p>
        )}
      </NearList>
      <p class="leads">
        <a class="button" href="#/follow-up">
          How works did
        </a>
        <a class="button" href="#/order">
          What to do first
        </a>
      </p>
      <SeasonSetting seasons={seasons} change={setSeasons} />
    </Frame>
  );
}
