// Whoever waits for a map's picture, a test or a script that takes pictures, reads off the
// map's element whether it is drawn: data-drawn says what is, and is there only while nothing
// moves or waits to be drawn.

import type OLMap from "ol/Map.js";

export function sayWhenStill(map: OLMap, target: HTMLElement, drawn: () => string): void {
  map.on("precompose", () => void delete target.dataset["drawn"]);
  map.on("rendercomplete", () => {
    const view = map.getView();
    if (!view.getAnimating() && !view.getInteracting()) target.dataset["drawn"] = drawn();
  });
}
