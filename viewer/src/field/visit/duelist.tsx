// What to visit: what is due, then everything that can be visited, the nearest first.

import { useState } from "preact/hooks";
import type { Params } from "../app/screens.ts";
import { dayOf } from "../app/words.ts";
import { kindOf, type Feature } from "../entry.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";
import { KindMark } from "../kit/mark.tsx";
import { nameOf } from "../picture/named.ts";
import { useStanding } from "../picture/stand.ts";
import { useNearest } from "../place/usenearest.ts";
import { dueNow } from "./due.ts";
import { SeasonSetting } from "./seasonsetting.tsx";
import { useSeasons } from "./settings.ts";

const few = 8;

export function Visits(_: { params: Params }) {
  const field = useField();
  const { fix } = useStanding();
  const [seasons, setSeasons] = useSeasons();
  const [all, setAll] = useState(false);
  const nearest = useNearest(field.features, fix);
  if (!seasons) return <Frame title="Visit"><p>Checking what is due…</p></Frame>;
  const due = dueNow(field.features, dayOf(new Date()), seasons);
  const isDue = new Set(due.map((d) => d.feature.id));
  const others = nearest.things.filter((f) => !isDue.has(f.id));
  return (
    <Frame title="Visit">
      <h2 id="due">{due.length ? `Due: ${due.length}` : "Nothing is due"}</h2>
      <ul class="list" aria-labelledby="due">
        {due.map((d) => (
          <Thing key={d.feature.id} feature={d.feature} href={d.what === "photo" ? `#/photo/${d.feature.id}/again` : `#/visit/${d.feature.id}`} words={d.words} />
        ))}
      </ul>
      {others.length > 0 && <h2 id="others">Others</h2>}
      {others.length > 1 && <div class="stack"><Button wide disabled={!nearest.again} press={() => nearest.again?.()}>Nearest first</Button></div>}
      <ul class="list" aria-labelledby="others">
        {others.slice(0, all ? others.length : few).map((feature) => (
          <Thing key={feature.id} feature={feature} href={`#/visit/${feature.id}`} words={nearest.away(feature)} />
        ))}
      </ul>
      {!all && others.length > few && <Button wide press={() => setAll(true)}>All {others.length}</Button>}
      <SeasonSetting seasons={seasons} change={setSeasons} />
    </Frame>
  );
}

function Thing({ feature, href, words }: { feature: Feature; href: string; words: string }) {
  return (
    <li>
      <a href={href}>
        <KindMark kind={kindOf(feature)} />
        <span class="word">
          <span class="name">{nameOf(feature)}</span>
          <span class="soft">{words}</span>
        </span>
      </a>
    </li>
  );
}
