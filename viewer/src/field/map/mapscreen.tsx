// The map of the property as it is on this phone, with the day's entries on it.

import { useMemo, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { kindNamed } from "../../base/kinds.ts";
import { isPhoto, nameOf } from "../../base/names.ts";
import { day } from "../../base/words.ts";
import { kindOf, placeOf, textOf, type Feature } from "../../base/entry.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { ItemMark } from "../../ui/icon.tsx";
import { NearList } from "../part/nearlist.tsx";
import { isItem, lacksPlace } from "../../base/nearest.ts";
import { awayOf, awayWords } from "../../base/away.ts";
import { useHeading } from "../../sensor/hooks.ts";
import { MapFrame } from "../../ui/mapframe.tsx";
import { MapPane } from "../../map/pane.tsx";
import type { Fix } from "../../sensor/fix.ts";

export function MapScreen({ params }: { params: Params }) {
  const field = useField();
  const { fix } = useApp().state;
  const { headingDeg: bearingDeg } = useHeading(2);
  const [listing, setListing] = useState(false);
  const [{ selected, bring }, select] = useState({ selected: params["thing"] ?? null, bring: params["thing"] !== undefined });
  const all = useMemo(() => field.features.filter(isItem), [field.features]);
  const items = useMemo(() => all.filter((f) => !lacksPlace(f)), [all]);
  const visits = useMemo(() => field.features.filter((f) => !f.struck && kindOf(f) === "visit" && placeOf(f)), [field.features]);
  const [visitsToo, setVisitsToo] = useState(false);
  const drawn = useMemo(() => (visitsToo ? [...items, ...visits] : items), [items, visits, visitsToo]);
  const chosen = selected === null ? undefined : drawn.find((f) => f.id === selected);
  const pick = (f: Feature) => {
    if (lacksPlace(f)) return field.go(`#/thing/${f.id}`); // the map cannot show it
    select({ selected: f.id, bring: true });
    setListing(false);
  };
  const list = <Button press={() => setListing(!listing)}>{listing ? "Map" : "List of items"}</Button>;
  return (
    <MapFrame title={listing ? "Items" : "Map"} side={list} {...(listing && { back: () => setListing(false) })}>
      <div class="undermost" inert={listing}>
        <MapPane
          features={drawn}
          selected={selected}
          bring={bring}
          pick={(id) => select({ selected: id, bring: false })}
          fix={fix}
          bearingDeg={bearingDeg}
        >
          {!chosen && visits.length > 0 && (
            <div class="row">
              <Button pressed={visitsToo} press={() => setVisitsToo(!visitsToo)}>
                Visits and photos: {visits.length}
              </Button>
            </div>
          )}
          {chosen && <Chosen item={chosen} from={fix} leave={() => select({ selected: null, bring: false })} />}
        </MapPane>
      </div>
      {listing && (
        <div class="maplist">
          <NearList items={all} label="Items" chosen={selected} pick={pick} none="There is no item yet." />
        </div>
      )}
    </MapFrame>
  );
}

/** The item that was tapped, the way to it, and what can be done with it. */
function Chosen({ item, from, leave }: { item: Feature; from: Fix | null; leave: () => void }) {
  const field = useField();
  const kind = kindNamed(kindOf(item));
  const name = nameOf(item, field.features);
  const away = from ? awayWords(awayOf(item, from), from.accuracyM) : "";
  const looked = kind.name === "visit";
  const words = [looked ? day(textOf(item, "observedOn")) : name === kind.label ? "" : kind.label, textOf(item, "status"), away]
    .filter(Boolean)
    .join(", ");
  const reshape = looked ? undefined : placeOf(item)?.type === "Point" ? "Move" : placeOf(item) ? "Reshape" : undefined;
  return (
    <section class="chosen card" aria-label="Selected on the map">
      <p class="chosen-name" role="status">
        <ItemMark of={item} />
        <span>
          <b>{name}</b>
          <br />
          {words}
        </span>
      </p>
      <div class="row">
        <Button press={leave}>Deselect</Button>
        {reshape && <Button press={() => field.go(`#/shape/${item.id}`)}>{reshape}</Button>}
        <Button rank="main" press={() => field.go(looked && isPhoto(item) ? `#/photo/${textOf(item, "of")}` : `#/thing/${item.id}`)}>
          Open
        </Button>
      </div>
    </section>
  );
}
