// The map in its frame with its buttons, for every screen that has one.

import type { ComponentChildren, RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Feature } from "../base/entry.ts";
import type { Fix } from "../sensor/fix.ts";
import type { Place } from "../base/plane.ts";
import { NorthArrow, ScaleBar } from "./foot.tsx";
import type { Box } from "./clear.ts";
import { FieldMap } from "./surveymap.ts";
import type { Sketch } from "./sketch.ts";
import { MapButton, ViewButtons } from "./viewbuttons.tsx";

interface PaneProps {
  readonly features: readonly Feature[];
  /** More of them are on their way. */
  readonly coming?: boolean;
  readonly selected?: string | null;
  /** Whether the selected thing was chosen elsewhere and must be brought into sight. */
  readonly bring?: boolean;
  readonly pick?: (id: string | null) => void;
  /** Where the officer stands; left out where the page has no receiver. */
  readonly fix?: Fix | null;
  readonly bearingDeg?: number | undefined;
  readonly sketch?: Sketch | null;
  /** A place was tapped: where this is given, nothing else is meant by a tap. */
  readonly tap?: (at: Place, metresPerPx: number) => void;
  /** Shows a cross in the middle of the map, for placing without a finger on it. */
  readonly aim?: boolean;
  /** Begins with where the officer stands rather than with the whole property. */
  readonly beginsHere?: boolean;
  /** Keeps where the officer stands in sight. */
  readonly follow?: boolean;
  readonly handle?: RefObject<FieldMap | null>;
  /** Over the foot of the map: what was chosen, or what else can be done. */
  readonly children?: ComponentChildren;
  /** A point that is drawn lies under a finger that goes down: true when it is to be dragged. */
  readonly grab?: (at: Place, metresPerPx: number) => boolean;
  readonly drag?: (to: Place, metresPerPx: number) => void;
  readonly drop?: () => void;
}

export function MapPane(props: PaneProps) {
  const { features, selected = null, bring = false, fix = null, bearingDeg, sketch = null, aim = false, follow = false, handle } = props;
  const frame = useRef<HTMLDivElement>(null);
  const map = useRef<FieldMap | null>(null);
  const now = useRef(props);
  now.current = props;
  const [metresPerPx, setMetresPerPx] = useState(0);

  useEffect(() => {
    const made = new FieldMap(
      frame.current!,
      {
        picked: (id) => now.current.pick?.(id),
        tapped: (at, scale) => {
          now.current.tap?.(at, scale);
          return now.current.tap !== undefined;
        },
        moved: setMetresPerPx,
        grabbed: (at, scale) => now.current.grab?.(at, scale) ?? false,
        dragged: (to, scale) => now.current.drag?.(to, scale),
        dropped: () => now.current.drop?.(),
      },
      props.beginsHere,
    );
    map.current = made;
    if (handle) handle.current = made;
    return () => {
      if (handle) handle.current = null;
      map.current = null;
      made.dispose();
    };
  }, []);
  useEffect(() => map.current?.show(features, liesOver(frame.current!), now.current.coming), [features]);
  useEffect(() => map.current?.select(selected, bring, liesOver(frame.current!)), [selected, features]);
  const tellHere = () => {
    const { fix = null, bearingDeg, follow = false } = now.current;
    if (frame.current) map.current?.here(fix, bearingDeg, follow, follow ? liesOver(frame.current) : []);
  };
  useEffect(tellHere, [fix, bearingDeg, follow]);
  useEffect(() => map.current?.sketch(sketch), [sketch]);
  // What a tap brought up lies over the map, and perhaps over what was tapped.
  const keepClear = () => {
    // the screen may have been left by now
    if (frame.current) map.current?.keepClear(liesOver(frame.current), now.current.sketch?.chosen ?? null);
  };
  useEffect(keepClear, [selected, sketch]);
  useEffect(() => {
    const sized = new ResizeObserver(keepClear);
    sized.observe(frame.current!);
    const covers = new ResizeObserver(() => now.current.follow && tellHere()); // a caution that comes up lies over who walks
    for (const part of frame.current!.closest(".fullmap")?.querySelectorAll(".maphead, .mapnotes") ?? []) covers.observe(part);
    return () => {
      sized.disconnect();
      covers.disconnect();
    };
  }, []);

  const nothing = metresPerPx === 0;
  return (
    <section class="mapsheet" aria-label="Map">
      <div class="mapframe">
        <div class="map" ref={frame} tabIndex={0} role="application" aria-label="Map. Arrow keys move it, plus and minus zoom." />
        {aim && !nothing && (
          <svg class="aim" viewBox="0 0 64 64" aria-hidden="true">
            <path class="casing" d="M32 4v22M32 38v22M4 32h22M38 32h22" />
            <path d="M32 4v22M32 38v22M4 32h22M38 32h22" />
          </svg>
        )}
        {nothing && <p class="emptymap">Nothing on the map yet{props.fix === undefined ? "" : ", and no GPS position"}.</p>}
      </div>
      <div class="mapover">
        <div class="mapside">
          <div class="mapfoot">
            <NorthArrow />
            {!nothing && <ScaleBar metresPerPx={metresPerPx} />}
          </div>
          <div class="mapbuttons" role="group" aria-label="Map view">
            <ViewButtons zoomBy={(steps) => map.current?.zoomBy(steps)} fitAll={() => map.current?.fitAll(liesOver(frame.current!))} />
            {props.fix !== undefined && (
              <MapButton
                label="Show where I am"
                path="M12 5a7 7 0 1 0 .1 0M12 1v6M12 17v6M1 12h6M17 12h6"
                press={() => fix && map.current?.goTo(fix, true, follow ? liesOver(frame.current!) : [])}
                disabled={!fix}
              />
            )}
          </div>
        </div>
        {props.children}
      </div>
    </section>
  );
}

/** What lies over a map, in pixels of its window. */
function liesOver(map: HTMLElement): readonly Box[] {
  const own = map.getBoundingClientRect();
  const over =
    map
      .closest(".fullmap, .deskmap")
      ?.querySelectorAll(".maphead > *, .mapnotes:not(:empty), .mapfoot, .mapbuttons, .mapover > .row > *, .mapover > .card") ?? [];
  return [...over]
    .map((part) => part.getBoundingClientRect())
    .map((b) => ({ left: b.left - own.left, right: b.right - own.left, top: b.top - own.top, bottom: b.bottom - own.top }));
}
