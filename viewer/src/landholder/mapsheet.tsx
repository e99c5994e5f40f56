// The map in its frame, with north arrow, scale bar and buttons.

import { useEffect, useRef, useState } from "preact/hooks";
import { NorthArrow, ScaleBar } from "../map/foot.tsx";
import { ViewButtons } from "../map/viewbuttons.tsx";
import type { Land } from "./land.ts";
import { landMap, type LandMap } from "./map.ts";
import { type Action, isShown, type State } from "./state.ts";
import { accuracy } from "./words.ts";

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
        <div
          class="map"
          ref={frame}
          tabIndex={0}
          role="application"
          aria-label="Map of the works. Arrow keys move it, plus and minus zoom. The list after the map has every work."
        />
        <div class="printed" ref={print} aria-hidden="true" />
        {empty && <p class="emptymap">Nothing with a place has been recorded here yet.</p>}
        <div class="mapbuttons noprint">
          <ViewButtons zoomBy={(steps) => map.current?.zoomBy(steps)} fitAll={() => map.current?.fitAll()} />
        </div>
      </div>
      <div class="mapfoot">
        <NorthArrow />
        {metresPerPx > 0 && <ScaleBar metresPerPx={metresPerPx} />}
      </div>
      <p class="onlyprint accuracyprint" aria-hidden="true">
        {accuracy}
      </p>
    </section>
  );
}
