// The landholder's page as a whole: asks for the land, holds the state, lays out the parts.

import { useCallback, useEffect, useMemo, useReducer } from "preact/hooks";
import { askForLand } from "./ask.ts";
import type { Kind, Land } from "./land.ts";
import { kindIndex } from "./land.ts";
import { Legend } from "./legend.tsx";
import { MapSheet } from "./mapsheet.tsx";
import { Message } from "./message.tsx";
import { SectionSheet } from "./sectionsheet.tsx";
import { isShown, reduce, start } from "./state.ts";
import type { Action, State } from "./state.ts";
import { called, count, day } from "./words.ts";
import { canDraw } from "../section/draw.ts";
import { WorkList } from "./worklist.tsx";
import { WorkPanel } from "./workpanel.tsx";

export function Page({ link }: { link: string }) {
  const [state, act] = useReducer<State, Action>(reduce, start);
  const ask = useCallback(async () => {
    act({ do: "ask" });
    const answer = await askForLand(link);
    act(typeof answer === "string" ? { do: "trouble", trouble: answer } : { do: "show", land: answer });
  }, [link]);
  useEffect(() => void ask(), [ask]);
  useEffect(() => {
    if (state.land) document.title = `${state.land.property.name}: works on the land`;
  }, [state.land]);

  if (!state.land) {
    return (
      <main class="alone">
        {state.trouble ? <Message trouble={state.trouble} land={null} ask={ask} asking={state.asking} /> : <p role="status">Fetching the map…</p>}
      </main>
    );
  }
  return <Sheet land={state.land} state={state} act={act} link={link} ask={ask} />;
}

interface SheetProps {
  land: Land;
  state: State;
  act: (action: Action) => void;
  link: string;
  ask: () => void;
}

function Sheet({ land, state, act, link, ask }: SheetProps) {
  const kind = useMemo(() => kindIndex(land), [land]);
  const shown = useMemo(() => land.works.filter((w) => isShown(state, w)), [land, state.hiddenKinds, state.hiddenStatuses]);
  const selected = land.works.find((w) => w.id === state.selected) ?? null;
  const sections = land.sections.filter(canDraw);
  return (
    <>
      <header class="title">
        <p class="what">Works on the land</p>
        <h1>{land.property.name || "A property without a name"}</h1>
        <p class="when">
          As recorded on {breakable(day(land.asOf))}.{" "}
          <button type="button" class="quiet noprint" onClick={ask} disabled={state.asking}>
            {state.asking ? "Fetching…" : "Fetch again"}
          </button>
        </p>
      </header>
      <main>
        {state.trouble && <Message trouble={state.trouble} land={land} ask={ask} asking={state.asking} />}
        <div class="sheet">
          <MapSheet land={land} state={state} act={act} />
          <div class="beside">
            <p class="hidden" role="status">
              {selected ? `Chosen: ${called(kind(selected.kind).label, selected.name)}` : ""}
            </p>
            {selected ? (
              <WorkPanel key={selected.id} work={selected} kind={kind(selected.kind)} link={link} takeFocus={state.selectedFrom === "list"} close={() => act({ do: "select", id: null, from: "map" })} />
            ) : (
              land.works.length > 0 && <p class="hint noprint">Touch a work on the map, or choose it from the list, to read about it.</p>
            )}
            <Legend land={land} state={state} act={act} />
            <WorkList land={land} works={shown} selected={state.selected} act={act} />
          </div>
        </div>
        {sections.length > 0 && (
          <section class="sections" aria-labelledby="sections">
            <h2 id="sections">The gully from the side</h2>
            {sections.map((s) => (
              <SectionSheet key={s.thalweg} section={s} selected={state.selected} />
            ))}
          </section>
        )}
        <LookAfter land={land} kind={kind} />
      </main>
      <footer class="noprint">
        <p>
          {count(land.works.length, "work", "works")} on this map. Places come from a handheld receiver and may be some metres off; levels come from level and staff.
        </p>
        <p>
          <a href={`${link}/works.kml`}>Save as KML</a> <a href={`${link}/works.geojson`}>Save as GeoJSON</a> <a href="/assets/NOTICE.txt">Licences of the libraries used</a>
        </p>
      </footer>
    </>
  );
}

function LookAfter({ land, kind }: { land: Land; kind: (name: string) => Kind }) {
  const there = [...new Set(land.works.filter((w) => w.status !== "removed").map((w) => w.kind))].map(kind).filter((k) => k.care);
  if (there.length === 0 && land.cautions.length === 0) return null;
  return (
    <section class="care" aria-label="Care">
      {land.cautions.length > 0 && (
        <div class="dangers">
          <h2>Take care here</h2>
          <ul>
            {land.cautions.map((c, i) => (
              <li key={i}>{c.name ? `${c.name}: ${c.danger}` : c.danger}</li>
            ))}
          </ul>
        </div>
      )}
      {there.length > 0 && (
        <>
          <h2>What to look after</h2>
          <dl>
            {there.map((k) => (
              <div key={k.name}>
                <dt>{k.plural}</dt>
                <dd>{k.care}</dd>
              </div>
            ))}
          </dl>
        </>
      )}
    </section>
  );
}

/** In large text a line may be too short for a whole date. */
const breakable = (text: string) => text.replace(/\u00a0/g, " ");
