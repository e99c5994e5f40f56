// A small picture of the property: where things are, without the map's code. It leads to
// the map.

import { useMemo } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { kindNamed } from "../../base/kinds.ts";
import { kindOf, type Feature } from "../../base/entry.ts";
import { isItem, itemsWords } from "../../base/nearest.ts";
import { drawing, pathOf } from "./drawing.ts";

const width = 360;
const height = 96;

export function Preview({ features }: { features: readonly Feature[] }) {
  const { state } = useApp();
  const { lon, lat } = state.fix ?? {};
  const drawn = useMemo(
    () => drawing(features.filter(isItem), lon !== undefined && lat !== undefined ? [lon, lat] : undefined, width, height),
    [features, lon, lat],
  );
  return (
    <a class="preview" href="#/map" aria-label={`Map: ${itemsWords(features)}`}>
      <svg viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
        {drawn.shapes.map((s) => (
          <path key={s.id} d={pathOf(s)} stroke={kindNamed(kindOf(s.feature)).colour} class={s.shape} />
        ))}
        {drawn.here && <path class="here" d={`M${drawn.here[0] - 9} ${drawn.here[1]}h18M${drawn.here[0]} ${drawn.here[1] - 9}v18`} />}
      </svg>
      <span>Map</span>
    </a>
  );
}
