// The map of the property as it is on this phone, with the day's captures on it.

import { useMemo, useState } from "preact/hooks";
import type { Params } from "../app/screens.ts";
import { kindNamed } from "../app/kinds.ts";
import { count } from "../app/words.ts";
import { kindOf, textOf, type Feature } from "../entry.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";
import { KindMark } from "../kit/mark.tsx";
import { useFix, useHeading } from "../place/usefix.ts";
import type { Place } from "../place/ground.ts";
import { metresBetween } from "../place/ground.ts";
import { nameOf, nearest, wayWords } from "./near.ts";
import { MapPane } from "./pane.tsx";
import { sceneOf } from "./scene.ts";

export function MapScreen({ params }: { params: Params }) {
  const field = useField();
  const { fix } = useFix();
  const bearingDeg = useHeading();
  const [{ selected, bring }, select] = useState({ selected: params["thing"] ?? null, bring: params["thing"] !== undefined });
  const thing = selected === null ? undefined : field.features.find((f) => f.id === selected);
  return (
    <Frame
      title="Map"
      actions={thing ? <Chosen thing={thing} from={fix} leave={() => select({ selected: null, bring: false })} /> : undefined}
    >
      <MapPane features={field.features} selected={selected} bring={bring} pick={(id) => select({ selected: id, bring: false })} fix={fix} bearingDeg={bearingDeg} />
      <Everything features={field.features} from={fix} selected={selected} pick={(id) => select({ selected: id, bring: true })} />
    </Frame>
  );
}

/** The thing that was tapped, and the way to it. */
function Chosen({ thing, from, leave }: { thing: Feature; from: Place | null; leave: () => void }) {
  const field = useField();
  const kind = kindNamed(kindOf(thing));
  const [way] = useMemo(() => nearest(sceneOf([thing]), from, 1), [thing, from?.lon, from?.lat]);
  const words = [kind.label, textOf(thing, "status"), way && wayWords(way)].filter(Boolean).join(", ");
  return (
    <section class="chosen" aria-label="Selected on the map">
      <p class="chosen-name" role="status"><KindMark kind={kind.name} /><span><b>{nameOf(thing)}</b><br />{words}</span></p>
      <div class="row">
        <Button press={leave}>Deselect</Button>
        <Button rank="main" press={() => field.go(`#/thing/${thing.id}`)}>Open</Button>
      </div>
    </section>
  );
}

const atATime = 30;
/** The list is put in order again when the officer has gone so far. */
const steadyM = 20;

function Everything({ features, from, selected, pick }: { features: readonly Feature[]; from: Place | null; selected: string | null; pick: (id: string) => void }) {
  const [open, setOpen] = useState(false);
  const [many, setMany] = useState(atATime);
  const [sortedFrom, setSortedFrom] = useState<Place | null>(null);
  if (from && (!sortedFrom || metresBetween(from, sortedFrom) > steadyM)) setSortedFrom(from);
  const scene = useMemo(() => (open ? sceneOf(features) : null), [features, open]);
  const list = useMemo(() => (scene ? nearest(scene, sortedFrom, many) : []), [scene, sortedFrom, many]);
  const total = scene?.things.length ?? 0;
  return (
    <details class="fold" open={open} onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>List of items</summary>
      {scene && <p class="soft">{count(total, "item", "items")}{sortedFrom ? ", nearest first" : ""}</p>}
      <ul class="list">
        {list.map((near) => (
          <li key={near.thing.id}>
            <button type="button" class="entry" aria-pressed={near.thing.id === selected} onClick={() => pick(near.thing.id)}>
              <KindMark kind={kindOf(near.thing)} />
              <span class="word"><span class="name">{nameOf(near.thing)}</span><span class="soft">{[kindNamed(kindOf(near.thing)).label, wayWords(near)].filter(Boolean).join(", ")}</span></span>
            </button>
          </li>
        ))}
      </ul>
      {total > many && <Button wide press={() => setMany(many + atATime)}>Show {Math.min(atATime, total - many)} more</Button>}
    </details>
  );
}
