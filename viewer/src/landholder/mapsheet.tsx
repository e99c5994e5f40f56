// The map in its frame, with north arrow, scale bar and buttons.

import { useEffect, useRef, useState } from "preact/hooks";
import { crossesApart } from "../land/crosses.ts";
import type { Land } from "./land.ts";
import type { LandMap } from "./map.ts";
import { landMap } from "./map.ts";
import { metresText, scaleBar } from "../land/scale.ts";
import type { Action, State } from "./state.ts";
import { isShown } from "./state.ts";

export function MapSheet({ land, state, act }: { land: Land; state: State; act: (action: Action) => void }) {
  const frame = useRef<HTMLDivElement>(null);
  const print = useRef<HTMLDivElement>(null);
  const map = useRef<LandMap | null>(null);
  const [metresPerPx, setMetresPerPx] = useState(0);

  useEffect(() => {
    if (!frame.current) return;
    const made = landMap(frame.current, {
      picked: (id) => act({ do: "select", id, from: "map" }),
      moved: setMetresPerPx,
    });
    map.current = made;
    const still = () => {
      const picture = made.picture();
      if (picture) print.current?.replaceChildren(picture);
    };
    window.addEventListener("beforeprint", still);
    return () => {
      window.removeEventListener("beforeprint", still);
      made.dispose();
    };
  }, []);
  useEffect(() => {
    map.current?.show(land, (work) => isShown(state, work));
    map.current?.select(state.selected, false);
  }, [land, state.hiddenKinds, state.hiddenStatuses]);
  useEffect(() => map.current?.select(state.selected, state.selectedFrom === "list"), [state.selected]);

  const empty = land.works.every((w) => !w.geometry) && land.others.every((o) => !o.geometry);
  return (
    <section class="mapsheet" aria-label="Map">
      <div class="mapframe">
        <div class="map" ref={frame} tabIndex={0} role="application" aria-label="Map of the works. Arrow keys move it, plus and minus zoom. The list after the map has every work." />
        <div class="printed" ref={print} aria-hidden="true" />
        {empty && <p class="emptymap">Nothing with a place has been recorded here yet.</p>}
        <div class="mapbuttons noprint">
          <button type="button" aria-label="Zoom in" onClick={() => map.current?.zoomBy(1)}>
            <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M12 4v16M4 12h16" /></svg>
          </button>
          <button type="button" aria-label="Zoom out" onClick={() => map.current?.zoomBy(-1)}>
            <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M4 12h16" /></svg>
          </button>
          <button type="button" aria-label="Show the whole property" onClick={() => map.current?.fitAll()}>
            <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M3 9V3h6M15 3h6v6M21 15v6h-6M9 21H3v-6" /></svg>
          </button>
        </div>
      </div>
      <div class="mapfoot">
        <NorthArrow />
        {metresPerPx > 0 && !empty && <ScaleBar metresPerPx={metresPerPx} />}
      </div>
    </section>
  );
}

function NorthArrow() {
  return (
    <svg class="north" viewBox="0 0 36 56" role="img" aria-label="North is up">
      <path d="M18 15L9 53l9-7z" class="solid" />
      <path d="M18 15l9 38-9-7z" class="open" />
      <path d="M13.5 12V2l9 10V2" class="letter" />
    </svg>
  );
}

function ScaleBar({ metresPerPx }: { metresPerPx: number }) {
  const bar = scaleBar(metresPerPx, 190);
  const parts = 4;
  return (
    <div class="scale">
      <svg width={bar.px + 2} height="14" viewBox={`0 0 ${bar.px + 2} 14`} role="img" aria-label={`Scale bar: this long is ${bar.text} on the ground`} data-metres={bar.metres} data-px={bar.px}>
        {Array.from({ length: parts }, (_, i) => (
          <rect key={i} x={1 + (i * bar.px) / parts} y="2" width={bar.px / parts} height="10" class={i % 2 ? "open" : "solid"} />
        ))}
      </svg>
      <p>
        {bar.text}. <span class="soft">Crosses {metresText(crossesApart(metresPerPx))} apart.</span>
      </p>
    </div>
  );
}
