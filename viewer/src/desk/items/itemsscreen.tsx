// The items of a property: a table and a map beside each other, and what is known of the item
// that is chosen in either.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { type Feature, placeOf, stampedAt } from "../../base/entry.ts";
import type { Params } from "../../base/route.ts";
import { clockOrDay, count, grouped } from "../../base/words.ts";
import { calledProperty } from "../../storage/chosenproperty.ts";
import { isListed, kindsIn } from "../../survey/item/listed.ts";
import { useRead } from "../../ui/hooks.ts";
import { useDesk } from "../context/desk.ts";
import { useFresh } from "./fresh.ts";
import { ItemPanel } from "./itempanel.tsx";
import { ItemTable } from "./itemtable.tsx";
import { usePeople } from "./people.ts";
import { PhotoView } from "./photoview.tsx";
import { atFirst, type Column, rowsOf, statusTexts, type Wanted } from "./rows.ts";

export function ItemsScreen({ params }: { params: Params }) {
  const { state } = useDesk();
  const id = params["id"];
  const property = state.property?.id === id ? state.property : undefined;
  useEffect(() => void (document.title = `${property ? calledProperty(property) : "Property"} – Headcut at the desk`), [property]);
  if (property) return <Items item={params["item"]} photo={params["photo"]} />;
  return (
    <header class="title">
      <Up />
      <h1 tabIndex={-1}>Not on this computer</h1>
      <p>This property is not on this computer. Ask the office for a code with it.</p>
    </header>
  );
}

/** The way up to the list of properties. */
function Up() {
  return (
    <p class="what">
      <a href="#/">
        <svg viewBox="0 0 24 24" aria-hidden="true">
          <path d="M15 4l-8 8 8 8" />
        </svg>
        Properties
      </a>
    </p>
  );
}

function Items({ item: selected, photo }: { item: string | undefined; photo: string | undefined }) {
  const { state, store, go } = useDesk();
  const { features, featuresRead } = state;
  const property = state.property!;
  const [wanted, want] = useState<Wanted>(atFirst);
  const [chosen, choose] = useState({ byKey: false, onMap: false }); // how the selected item was chosen
  const whole = useRef<HTMLDivElement>(null);
  const items = useMemo(() => features.filter(isListed), [features]);
  const kinds = useMemo(() => kindsIn(items), [items]);
  const people = usePeople(store, items);
  const loaded = state.sync?.state === "quiet";
  const fresh = useFresh(store, property.id, items, loaded);
  const statuses = useMemo(() => statusTexts(features), [features]);
  const statusOf = (item: Feature) => statuses.get(item.id)!;
  const rows = useMemo(() => rowsOf(items, wanted, people.of, statusOf), [items, wanted, wanted.order.by === "person" && people.known]);
  const shown = useMemo(() => rows.filter(placeOf), [rows]);
  const map = useRead(() => import("../../map/pane.tsx"), null, "map");
  const address = (...parts: readonly string[]) => ["#/property", property.id, ...parts].join("/");
  const open = (item: string | undefined, how = { byKey: false, onMap: false }) => {
    choose(how);
    go(item === undefined ? address() : address(item), true);
  };
  const close = () => {
    open(undefined);
    whole.current?.querySelector<HTMLElement>(`.open[tabindex="0"]`)?.focus(); // where the keyboard was
  };
  const feature = features.find((f) => f.id === selected);
  useEffect(() => {
    if (!feature) return;
    const leave = (e: KeyboardEvent) => e.key === "Escape" && photo === undefined && close();
    document.addEventListener("keydown", leave);
    return () => document.removeEventListener("keydown", leave);
  }, [feature?.id, photo]);
  const newest = features.reduce<Feature | undefined>((a, b) => (a && a.stamp >= b.stamp ? a : b), undefined);
  const reorder = (by: Column) => want({ ...wanted, order: { by, down: wanted.order.by === by ? !wanted.order.down : by === "changed" } });
  return (
    <div class={feature ? "desk withpanel" : "desk"} ref={whole}>
      <header class="title">
        <Up />
        <h1 tabIndex={-1}>{calledProperty(property)}</h1>
        <p class="when">
          {newest
            ? `Last entry${stampedAt(newest) ? "" : ":"} ${clockOrDay(stampedAt(newest), new Date())}`
            : featuresRead
              ? "Nothing recorded yet"
              : ""}
        </p>
      </header>
      <section class="list" aria-label="Items">
        <div class="find">
          <input
            type="search"
            aria-label="Search by name, kind or notes"
            placeholder="Search"
            value={wanted.search}
            onInput={(e) => want({ ...wanted, search: e.currentTarget.value })}
          />
          <select aria-label="Kind" value={wanted.kind} onChange={(e) => want({ ...wanted, kind: e.currentTarget.value })}>
            <option value="">All kinds</option>
            {kinds.map((k) => (
              <option key={k.name} value={k.name}>
                {k.plural}
              </option>
            ))}
          </select>
          <p class="soft" role="status">
            {!featuresRead
              ? "Reading…"
              : rows.length === items.length
                ? count(items.length, "item", "items")
                : `${grouped(rows.length)} of ${count(items.length, "item", "items")}`}
          </p>
        </div>
        <div class="scroll">
          <ItemTable
            rows={rows}
            label={`Items of ${calledProperty(property)}`}
            order={wanted.order}
            reorder={reorder}
            personOf={people.of}
            statusOf={statusOf}
            fresh={fresh}
            selected={feature?.id}
            pick={(id, byKey) => open(id, { byKey, onMap: false })}
          />
        </div>
      </section>
      <div class="deskmap">
        {map ? (
          <map.MapPane
            features={shown}
            coming={!loaded}
            selected={feature?.id ?? null}
            bring={!chosen.onMap}
            pick={(id) => open(id ?? undefined, { byKey: false, onMap: true })}
          />
        ) : (
          <p class="soft">{map === null ? "The map could not be loaded. Load this page again." : ""}</p>
        )}
      </div>
      {feature && (
        <ItemPanel
          key={feature.id}
          feature={feature}
          person={people.of(feature)}
          focus={chosen.byKey}
          open={(id) => open(id, { byKey: true, onMap: false })}
          close={close}
        />
      )}
      {feature && photo !== undefined && (
        <PhotoView
          of={feature}
          sha={photo}
          open={(sha) => go(address(feature.id, sha), true)}
          close={() => go(address(feature.id), true)}
        />
      )}
    </div>
  );
}
