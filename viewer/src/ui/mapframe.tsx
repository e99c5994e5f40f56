// A screen that is a map: it fills the screen, and what else there is lies over it.

import type { ComponentChildren } from "preact";
import { BackButton } from "./frame.tsx";

interface MapFrameProps {
  readonly title: string;
  /** Words under the title, over the head of the map. */
  readonly under?: ComponentChildren;
  /** A button beside the title. */
  readonly side?: ComponentChildren;
  /** Under the head: what is wrong, what is dangerous. */
  readonly notes?: ComponentChildren;
  readonly children: ComponentChildren; // the map
  readonly actions?: ComponentChildren;
  readonly back?: () => void;
}

export function MapFrame({ title, under, side, notes, children, actions, back }: MapFrameProps) {
  return (
    <>
      <section class="fullmap">
        <div class="maptop">
          <header class="maphead">
            <BackButton press={back} />
            <div class="card">
              <h1 tabIndex={-1}>{title}</h1>
              {under}
            </div>
            {side}
          </header>
          <div class="mapnotes">{notes}</div>
        </div>
        {children}
      </section>
      {actions && <div class="actions">{actions}</div>}
    </>
  );
}
