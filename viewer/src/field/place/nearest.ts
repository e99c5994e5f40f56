// Things in the order in which an officer who stands there means them. Pure.

import { kindOf, placeOf, settingsKind, type Feature, type Geometry } from "../entry.ts";
import { metresBetween, nearestOnLine, type Place } from "./ground.ts";

export interface Near {
  readonly feature: Feature;
  readonly awayM?: number; // absent where it has no place, or nobody knows where the phone is
}

/** All that is not struck out and no record of another thing: nearest first, then the newest. */
export function nearestFirst(features: readonly Feature[], here: Place | undefined): readonly Near[] {
  return features
    .filter((f) => !f.struck && kindOf(f) !== "visit" && kindOf(f) !== "level-run" && kindOf(f) !== settingsKind)
    .map((feature) => {
      const awayM = here && away(placeOf(feature), here);
      return awayM === undefined ? { feature } : { feature, awayM };
    })
    .sort((a, b) => (a.awayM ?? Infinity) - (b.awayM ?? Infinity) || b.feature.stamp.localeCompare(a.feature.stamp));
}

function away(place: Geometry | undefined, here: Place): number | undefined {
  const places = (line: readonly (readonly [number, number])[]) => line.map(([lon, lat]) => ({ lon, lat }));
  switch (place?.type) {
    case "Point":
      return metresBetween({ lon: place.coordinates[0], lat: place.coordinates[1] }, here);
    case "LineString":
      return nearestOnLine(places(place.coordinates), here)?.offM;
    case "Polygon":
      return nearestOnLine(places(place.coordinates[0] ?? []), here)?.offM;
    default:
      return undefined;
  }
}
