// Points and lines for tests of recording: metres east and north of a start.

import type { Feature, Fields } from "../../base/entry.ts";
import { moved, type Place } from "../../base/plane.ts";
import { begun, type Recording, type Spot } from "./recording.ts";

export const start = { lon: 146.3, lat: -25.5 };
export const at = (eastM: number, northM: number): Place => moved(start, eastM, northM);
export const spot = (eastM: number, northM: number, more: Partial<Spot> = {}): Spot => ({
  ...at(eastM, northM),
  accuracyM: 4,
  atMS: 0,
  how: "walked",
  ...more,
});
export const of = (shape: "line" | "area", pieces: readonly (readonly Spot[])[], more: Partial<Recording> = {}): Recording => ({
  ...begun(shape),
  pieces,
  ...more,
});
export const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "1", unsent: 0 },
  ...more,
});
export const positions = (...places: readonly Place[]) => places.map(({ lon, lat }) => [lon, lat] as const);
