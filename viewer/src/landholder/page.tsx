// The landholder's page as a whole: asks for the land, holds the state, lays out the parts.

import { useCallback, useEffect, useMemo, useReducer } from "preact/hooks";
import { Asker } from "./ask.ts";
import { ItemPanel } from "./itempanel.tsx";
import { type Index, isWhole, type Item, itemOf, type Kind, kindIndex, type Land, landOf } from "./land.ts";
import { Legend } from "./legend.tsx";
import { MapSheet } from "./mapsheet.tsx";
import { Message } from "./message.tsx";
import { PhotoSheet } from "./photos.tsx";
import { PrintList } from "./printlist.tsx";
import { SectionSheet } from "./sectionsheet.tsx";
import { type Action, isShown, reduce, startWith, type State } from "./state.ts";
import { Summary } from "./summary.tsx";
import { accuracy, called, count, day, number } from "./words.ts";
import { useRows } from "./rows.tsx";
import { canDraw, silted } from "../section/draw.ts";
import { WorkList } from "./worklist.tsx";

/** The page below a link, with the land that it came with, if it did, or its index. */
export function Page({ link, came }: { link: string; came: Index | null }) {
  const [state, act] = useReducer<State, Action, Land | null>(reduce, came && landOf(came, new Map()), startWith);
  const asker = useMemo(() => new Asker(link), [link]);
  const ask = useCallback(
    async (from: Index | null) => {
      act({ do: "ask" });
      const answer = await asker.ask(from, (land) => act({ do: "part", land }));
      act(typeof answer === "string" ? { do: "trouble", trouble: answer } : { do: "show", land: answer });
    },
    [asker],
  );
  useEffect(() => {
    if (!came || came.blocks) void ask(came);
  }, [ask]);
  const again = useCallback(() => void ask(null), [ask]);
  useEffect(() => {
    if (state.land) document.title = `${state.land.property.name}: works on the land`;
  }, [state.land]);

  if (!state.land) {
    return (
      <main class="alone">
        {state.trouble ? (
          <Message trouble={state.trouble} land={null} ask={again} asking={state.asking} />
        ) : (
          <p role="status">Loading the map…</p>
        )}
      </main>
    );
  }
  return <Sheet land={state.land} state={state} act={act} link={link} ask={again} />;
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
  const selected = itemOf(land, state.selected);
  const whole = isWhole(land);
  const sections = useMemo(() => land.sections.filter(canDraw), [land]);
  const sheets = useRows(sections, 20);
  const photographed = [...land.works, ...land.others].some((i) => i.photos.length > 0); // care is printed where there is room
  const nameOf = (item: Item) => called(kind(item.kind).label, item.name);
  return (
    <>
      <header class="title">
        <p class="what">Works on the land</p>
        <h1>{land.property.name || "Property, unnamed"}</h1>
        <p class="when">
          {land.lastEntry && <span>Last entry {breakable(day(land.lastEntry))}.</span>}{" "}
          <button type="button" class="quiet noprint" onClick={ask} disabled={state.asking}>
            {state.asking ? (whole ? "Refreshing…" : "Loading…") : "Refresh"}
          </button>
        </p>
        {!whole && (
          <p class="when" role="status">
            {number(land.works.length + land.others.length, 0)} of {number(land.count, 0)} items loaded.
          </p>
        )}
      </header>
      <main>
        {state.trouble && <Message trouble={state.trouble} land={land} ask={ask} asking={state.asking} />}
        <div class="sheet">
          <Summary land={land} act={act} />
          <MapSheet land={land} state={state} act={act} />
          <div class="beside">
            <p class="hidden" role="status">
              {selected ? `Chosen: ${nameOf(selected)}` : ""}
            </p>
            {selected ? (
              <ItemPanel
                key={selected.id}
                item={selected}
                kind={kind(selected.kind)}
                link={link}
                takeFocus={state.selectedFrom === "list"}
                close={() => act({ do: "select", id: null, from: "map" })}
              />
            ) : (
              land.works.length > 0 && (
                <p class="hint noprint">Tap a work or a hazard on the map, or choose it from the list, to read about it.</p>
              )
            )}
            <WorkList land={land} works={shown} selected={state.selected} act={act} />
            <Legend land={land} state={state} act={act} />
          </div>
        </div>
        {sections.length > 0 && (
          <section class="sections" aria-labelledby="sections">
            <h2 id="sections">Long section</h2>
            <p class="soft">
              The gully from the side, its lower end at the left: the ground and the dams.
              {sections.some((one) => silted(one).size > 0) &&
                " A flat line upstream of a dam's top is how far silt can fill up behind it."}
            </p>
            {sheets.rows.map((s) => (
              <SectionSheet key={s.thalweg} section={s} selected={state.selected} />
            ))}
            {sheets.more}
          </section>
        )}
        <PhotoSheet items={[...land.others, ...land.works]} nameOf={nameOf} link={link} />
        {photographed && <LookAfter land={land} kind={kind} />}
        <PrintList land={land} kind={kind} />
        {!photographed && <LookAfter land={land} kind={kind} />}
        <Accuracy land={land} />
      </main>
      <footer class="noprint">
        <p>{count(land.works.filter((w) => w.geometry).length, "work", "works")} on this map.</p>
        <p>
          <a href={`${link}/works.kml`}>Download for map apps (KML)</a>
        </p>
        <details>
          <summary>Other files</summary>
          <p>
            <a href={`${link}/works.geojson`}>GeoJSON</a> <a href="/assets/NOTICE.txt">Licences of the libraries used</a>
          </p>
        </details>
      </footer>
    </>
  );
}

/** Care for what is finished; how works are built is the officer's business. */
function LookAfter({ land, kind }: { land: Land; kind: (name: string) => Kind }) {
  const finished = land.works.filter((w) => w.status === "built");
  const there = [...new Set(finished.map((w) => w.kind))].map(kind).filter((k) => k.care);
  return (
    <section class="care" aria-labelledby="care">
      <h2 id="care">What to look after</h2>
      <p>
        Keep back from gully rims and undercut banks, on foot and with vehicles: they give way without warning. Before changing a work, ask
        the officer.
      </p>
      {there.length > 0 && (
        <dl>
          {there.map((k) => (
            <div key={k.name}>
              <dt>{k.plural}</dt>
              <dd>
                {k.what} {k.care}
              </dd>
            </div>
          ))}
        </dl>
      )}
    </section>
  );
}

function Accuracy({ land }: { land: Land }) {
  if (land.works.length === 0) return null;
  return (
    <section class="accuracy noprint" aria-labelledby="accuracy">
      <h2 id="accuracy">How accurate this is</h2>
      <p>{accuracy}</p>
    </section>
  );
}

/** In large text a line may be too short for a whole date. */
const breakable = (text: string) => text.replace(/\u00a0/g, " ");
