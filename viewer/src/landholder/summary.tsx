// What a landholder asks first: what was done, when it was inspected, what can hurt, and
// what to watch for now.

import type { ItemState, Land, Watch } from "./land.ts";
import { useRows } from "./rows.tsx";
import type { Action } from "./state.ts";
import { number } from "./words.ts";

const atOnce = 50;
const mostPrinted = 200;

/** Of what to watch for, so many are in sight with the map below them; the rest opens. */
const mostInSight = () => (window.matchMedia("(min-width: 62rem)").matches ? 5 : 2);

export function Summary({ land, act }: { land: Land; act: (action: Action) => void }) {
  const { done, hazards, watch, inspected } = land;
  const most = mostInSight();
  return (
    <section class="summary" aria-labelledby="summary">
      <h2 id="summary" class="hidden">
        In short
      </h2>
      {done.length > 0 && (
        <ul class="done">
          {done.map((d) => (
            <li key={d.text} class={d.state ?? ""}>
              <b>{number(d.count, 0)}</b> {d.text}
            </li>
          ))}
        </ul>
      )}
      {inspected.length > 0 && <p class="inspected">{inspected.join(" ")}</p>}
      {hazards.length > 0 && (
        <div class="dangers">
          <h3>Hazards</h3>
          <Rows rows={hazards} act={act} />
        </div>
      )}
      {watch.length > 0 && (
        <div class="watch">
          <h3>What to watch for now</h3>
          <Rows rows={watch.slice(0, most)} act={act} />
          {watch.length > most && (
            <>
              <details class="noprint">
                <summary>{number(watch.length - most, 0)} more to watch for</summary>
                <Rows rows={watch.slice(most)} act={act} />
              </details>
              <ul class="onlyprint">
                {watch.slice(most, mostPrinted).map((w) => (
                  <li key={w.id}>– {w.text}</li>
                ))}
                {watch.length > mostPrinted && <li>– and {number(watch.length - mostPrinted, 0)} more, in the list of works.</li>}
              </ul>
            </>
          )}
        </div>
      )}
    </section>
  );
}

function Rows({ rows, act }: { rows: readonly Watch[]; act: (action: Action) => void }) {
  const shown = useRows(rows, atOnce);
  return (
    <ul>
      {shown.rows.map((w) => (
        <li key={w.id}>
          <button type="button" class="watchrow" onClick={() => act({ do: "select", id: w.id, from: "list" })}>
            <StateSign state={w.state} />
            <span>{w.text}</span>
          </button>
        </li>
      ))}
      {rows.length > atOnce && <li class="noprint">{shown.more}</li>}
    </ul>
  );
}

const signs: Record<ItemState, string> = {
  danger: "M12 3l10 18H2zM12 9v6M12 18h.1",
  failed: "M5 5l14 14M19 5L5 19",
  attention: "M12 4v11M12 19.5h.1",
};
export const stateWords: Record<ItemState, string> = { danger: "Hazard", failed: "Failed", attention: "Needs attention" };

/** The sign of a state, by its shape as well as its colour, and its word for a screen reader. */
export function StateSign({ state }: { state: ItemState | undefined }) {
  if (!state) return null;
  return (
    <svg class={`sign ${state}`} viewBox="0 0 24 24" role="img" aria-label={stateWords[state]}>
      <path d={signs[state]} />
    </svg>
  );
}
