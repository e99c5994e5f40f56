// Every work in a list: the form of the map that can be read aloud and reached by keyboard.
// Those that failed or need attention stand first in their group, and keep it open.

import { type Item, type Kind, type Land, opens } from "./land.ts";
import type { Action } from "./state.ts";
import { useRows } from "./rows.tsx";
import { StateSign, stateWords } from "./summary.tsx";
import { ItemSymbol } from "../map/symbol.tsx";
import { called, count } from "./words.ts";
import { statusOf, statusWords } from "../base/item.ts";

const openUpTo = 12; // in a longer list the kinds start closed, so that the page stays short
const wholeUpTo = 1500; // items, of which all rows are there, to be found and read aloud
const atOnce = 100; // rows of a kind, of more

interface Props {
  land: Land;
  works: Item[];
  selected: string | null;
  act: (action: Action) => void;
}

export function WorkList({ land, works, selected, act }: Props) {
  const others = land.others.filter(opens);
  if (land.works.length === 0 && others.length === 0) return null;
  const groups = (items: readonly Item[]) =>
    land.kinds.flatMap((kind) => {
      const own = items.filter((i) => i.kind === kind.name);
      return own.length > 0 ? [{ kind, items: own }] : [];
    });
  const ofWorks = groups(works);
  return (
    <section class="worklist noprint" aria-labelledby="worklist">
      <h2 id="worklist">List of works</h2>
      {ofWorks.length === 0 && land.works.length > 0 && <p>All works are taken off the map. Tick them in the map key to see them.</p>}
      {[...ofWorks, ...groups(others)].map(({ kind, items }, i) => (
        <Group
          key={kind.name}
          kind={kind}
          items={items}
          open={i < ofWorks.length && works.length <= openUpTo}
          atOnce={land.count <= wholeUpTo ? wholeUpTo : atOnce}
          selected={selected}
          act={act}
        />
      ))}
    </section>
  );
}

function Group({
  kind,
  items,
  open,
  atOnce,
  selected,
  act,
}: {
  kind: Kind;
  items: Item[];
  open: boolean;
  atOnce: number;
  selected: string | null;
  act: (action: Action) => void;
}) {
  const isWrong = (i: Item) => i.state === "failed" || i.state === "attention";
  const wrong = items.filter(isWrong);
  const { rows, more } = useRows([...wrong, ...items.filter((i) => !isWrong(i))], atOnce, (i) => i.id === selected);
  return (
    <details open={open || items.some((i) => i.id === selected) || (wrong.length > 0 && items.length <= openUpTo)}>
      <summary>
        {count(items.length, kind.label.toLowerCase(), kind.plural.toLowerCase())}
        {wrong.length > 0 && <span class="state">{wrong.length} to watch</span>}
      </summary>
      <ul>
        {rows.map((i) => (
          <li key={i.id}>
            <button
              type="button"
              class="work"
              id={`item-${i.id}`}
              aria-pressed={i.id === selected}
              onClick={() => act({ do: "select", id: i.id, from: "list" })}
            >
              <ItemSymbol kind={kind} status={i.status} attention={i.state === "attention"} />
              <span class="word">{called(kind.label, i.name)}</span>
              {i.state ? (
                <span class="state">
                  <StateSign state={i.state} /> {stateWords[i.state]}
                </span>
              ) : (
                kind.work && <span class="status">{statusWords[statusOf(i)]}</span>
              )}
            </button>
          </li>
        ))}
      </ul>
      {more}
    </details>
  );
}
