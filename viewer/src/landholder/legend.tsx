// The legend, which also takes kinds and statuses off the map and puts them back. It counts what is on the map, and says
// what is not.

import { useMemo } from "preact/hooks";
import type { Item, Land } from "./land.ts";
import type { Action, State } from "./state.ts";
import { AttentionSample, KindSymbol, StatusSample, WorkSymbol } from "../map/symbol.tsx";
import { count, number } from "./words.ts";
import { allStatuses, type Status, statusOf, statusWords } from "../base/item.ts";

export function Legend({ land, state, act }: { land: Land; state: State; act: (action: Action) => void }) {
  const counts = useMemo(() => countsOf(land), [land]);
  const kinds = land.kinds.filter((k) => k.work);
  const others = land.kinds.filter((k) => !k.work && counts.kinds.has(k.name));
  const statuses = allStatuses.filter((s) => counts.statuses.has(s));
  const unplaced = land.kinds.flatMap((k) => {
    const n = counts.unplaced.get(k.name);
    return n ? count(n, k.label.toLowerCase(), k.plural.toLowerCase()) : [];
  });
  if (kinds.length === 0 && others.length === 0 && unplaced.length === 0) {
    return <p class="hint">No works have been recorded here yet. They will show on this map once the officer has sent them.</p>;
  }
  return (
    <section class="legend" aria-labelledby="legend">
      <h2 id="legend">Map key</h2>
      {kinds.length > 0 && (
        <fieldset>
          <legend>Works</legend>
          {kinds.map((k) => (
            <label key={k.name} class="row">
              <input
                type="checkbox"
                checked={!state.hiddenKinds.includes(k.name)}
                onChange={() => act({ do: "toggle-kind", kind: k.name })}
              />
              <WorkSymbol kind={k} status="built" />
              <span class="word">{k.plural}</span>
              <span class="count">{number(counts.kinds.get(k.name) ?? 0, 0)}</span>
            </label>
          ))}
        </fieldset>
      )}
      {statuses.length > 0 && (
        <fieldset>
          <legend>Stage</legend>
          {statuses.map((s) => (
            <label key={s} class="row">
              <input type="checkbox" checked={!state.hiddenStatuses.includes(s)} onChange={() => act({ do: "toggle-status", status: s })} />
              <StatusSample status={s} />
              <span class="word">{statusWords[s]}</span>
              <span class="count">{number(counts.statuses.get(s) ?? 0, 0)}</span>
            </label>
          ))}
        </fieldset>
      )}
      {(others.length > 0 || counts.attention > 0) && (
        <div class="others">
          <h3>Also on the map</h3>
          <ul>
            {counts.attention > 0 && (
              <li>
                <AttentionSample />
                <span class="word">Needs attention</span>
                <span class="count">{number(counts.attention, 0)}</span>
              </li>
            )}
            {others.map((k) => (
              <li key={k.name}>
                <KindSymbol kind={k} />
                <span class="word">{k.plural}</span>
                <span class="count">{number(counts.kinds.get(k.name) ?? 0, 0)}</span>
              </li>
            ))}
          </ul>
        </div>
      )}
      {unplaced.length > 0 && <p class="soft">Not on the map, as no position was recorded: {unplaced.join(", ")}.</p>}
    </section>
  );
}

function countsOf(land: Land) {
  const add = <K,>(counts: Map<K, number>, key: K) => counts.set(key, (counts.get(key) ?? 0) + 1);
  const kinds = new Map<string, number>();
  const statuses = new Map<Status, number>();
  const unplaced = new Map<string, number>(); // by kind
  const placed = (items: readonly Item[]) =>
    items.filter((i) => {
      add(i.geometry ? kinds : unplaced, i.kind);
      return i.geometry;
    });
  const works = placed(land.works);
  for (const w of works) add(statuses, statusOf(w));
  const attention = [...works, ...placed(land.others)].filter((i) => i.state === "attention").length;
  return { kinds, statuses, unplaced, attention };
}
