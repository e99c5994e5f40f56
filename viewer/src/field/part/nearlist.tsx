// The list of items that is used standing in the paddock: the nearest first, with a search
// and a filter by kind. It does not turn under the finger: it is ordered from where the
// officer stood when it was opened, and again when she asks.

import type { ComponentChildren } from "preact";
import { useMemo, useState } from "preact/hooks";
import { nameOf } from "../../base/names.ts";
import { useApp } from "../context/app.ts";
import { count } from "../../base/words.ts";
import { kindNamed } from "../../base/kinds.ts";
import { kindOf, type Feature } from "../../base/entry.ts";
import { Button } from "../../ui/button.tsx";
import { ItemMark, KindMark } from "../../ui/icon.tsx";
import { useOwnID } from "../../ui/hooks.ts";
import { awayOf, awayWords } from "../../base/away.ts";
import { metresBetween, type Place } from "../../base/plane.ts";
import { nearestFirst } from "../../base/nearest.ts";
import { kindsIn, matching } from "../../survey/item/listed.ts";

interface NearListProps {
  readonly items: readonly Feature[];
  readonly label: string; // of the list, for a screen reader
  /** The address that an item opens, or what a press of it does. */
  readonly to?: (item: Feature) => string;
  readonly pick?: (item: Feature) => void;
  readonly chosen?: string | null;
  /** Buttons that stand beside an item in place of pressing it. */
  readonly acts?: (item: Feature) => ComponentChildren;
  /** What else there is to say of an item. */
  readonly about?: (item: Feature) => string | undefined;
  readonly none?: string; // when there is no item
  /** Where the distances are from, if not from where the phone is: the place of what is being recorded. */
  readonly at?: (Place & { readonly accuracyM: number }) | undefined;
  readonly children?: ComponentChildren; // beside the filter
}

const few = 8; // so many are seen without a search
const atATime = 20; // as many as a thumb scrolls through
const againM = 20; // from when on another order may be wanted

export function NearList({ items, label, to, pick, chosen, acts, about, none, at, children }: NearListProps) {
  const fix = useApp().state.fix ?? undefined;
  const here = at ?? fix;
  const [from, setFrom] = useState(here);
  const [kind, setKind] = useState("");
  const [search, setSearch] = useState("");
  const [choosing, setChoosing] = useState(false);
  const [many, setMany] = useState(atATime);
  const id = useOwnID();
  const kinds = useMemo(() => kindsIn(items), [items]);
  const ordered = useMemo(() => nearestFirst(items, from).map((n) => n.feature), [items, from]);
  const found = useMemo(() => matching(ordered, kind, search), [ordered, kind, search]);
  const away = (f: Feature) => (here ? awayWords(awayOf(f, here), here.accuracyM) || "no position" : "\u00a0");
  const moved = here !== undefined && (!from || metresBetween(here, from) > againM);
  const filtered = kind !== "" || search.trim() !== "";
  const choose = (name: string) => {
    setKind(name);
    setChoosing(false);
    setFrom(here);
  };
  const body = (f: Feature) => (
    <>
      <ItemMark of={f} />
      <span class="word">
        <span class="name">{nameOf(f, items)}</span>
        <span class="soft">{[kindWord(f), about?.(f), away(f)].filter(Boolean).join(", ")}</span>
      </span>
    </>
  );
  return (
    <section class="nearlist" aria-label={label}>
      {(items.length > few || kinds.length > 1) && (
        <div class="find">
          <input
            type="search"
            aria-label="Search by name"
            placeholder="Search"
            value={search}
            onInput={(e) => {
              setSearch(e.currentTarget.value);
              setFrom(here);
            }}
          />
          {kinds.length > 1 && (
            <button
              type="button"
              class="b-plain"
              aria-expanded={choosing}
              aria-controls={choosing ? `${id}-kinds` : undefined}
              onClick={() => setChoosing(!choosing)}
            >
              {kind ? kindNamed(kind).label : "All kinds"}
            </button>
          )}
        </div>
      )}
      {choosing && (
        <div class="row filter" id={`${id}-kinds`} role="group" aria-label="Show only">
          <Button pressed={kind === ""} press={() => choose("")}>
            All kinds
          </Button>
          {kinds.map((k) => (
            <Button key={k.name} pressed={kind === k.name} press={() => choose(k.name)}>
              <KindMark kind={k.name} />
              {k.label}
            </Button>
          ))}
        </div>
      )}
      <div class="order">
        <p class="soft" role="status">
          {items.length === 0
            ? none
            : `${count(found.length, "item", "items")}${filtered ? ` of ${items.length}` : ""}${orderWords(from, here, moved)}`}
        </p>
        {items.length > 1 && (
          <div class={moved ? undefined : "unseen"}>
            <Button press={() => setFrom(here)}>Nearest first</Button>
          </div>
        )}
        {children}
      </div>
      {found.length > 0 && (
        <ul class="list">
          {found.slice(0, many).map((f) => (
            <li key={f.id}>
              {acts ? (
                <div class="withacts">
                  <span class="entry">{body(f)}</span>
                  <span class="row">{acts(f)}</span>
                </div>
              ) : to ? (
                <a href={to(f)}>{body(f)}</a>
              ) : (
                <button type="button" class="entry" aria-pressed={f.id === chosen} onClick={() => pick?.(f)}>
                  {body(f)}
                </button>
              )}
            </li>
          ))}
        </ul>
      )}
      {found.length > many && (
        <Button wide press={() => setMany(many + atATime)}>
          Show {Math.min(atATime, found.length - many)} more
        </Button>
      )}
    </section>
  );
}

/** How the list is ordered, and why not by what is nearest now. */
function orderWords(from: Place | undefined, here: Place | undefined, moved: boolean): string {
  if (!here) return from ? ", nearest first, no GPS now" : ", newest first: no GPS position yet";
  if (!from) return ", newest first";
  return moved ? ". You have moved." : ", nearest first";
}

/** The kind, where the name does not say it already. */
function kindWord(f: Feature): string {
  const { label } = kindNamed(kindOf(f));
  return nameOf(f, []) === label ? "" : label;
}
