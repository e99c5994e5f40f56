// Sections that tests draw.

import type { Section } from "./section.ts";

/** A section of a bed, given as chainages and levels. */
export const sectionOf = (bed: readonly (readonly [chainageM: number, levelM: number])[], more: Partial<Section> = {}): Section => ({
  thalweg: "t",
  lengthM: Math.max(0, ...bed.map(([chainageM]) => chainageM)),
  proven: true,
  notes: [],
  bed: bed.map(([chainageM, levelM]) => ({ chainageM, levelM })),
  dams: [],
  pairs: [],
  ...more,
});

/** Two dams with a hump of the bed between them; the upper one has failed. */
export const humped = sectionOf(
  [
    [0, 100],
    [10, 100.9],
    [20, 100.4],
  ],
  {
    dams: [
      { id: "a", name: "D1", chainageM: 0, toeLevelM: 100, crestLevelM: 100.4, basis: "levelled", status: "built" },
      { id: "b", name: "D2", chainageM: 20, toeLevelM: 100.4, crestLevelM: 100.8, basis: "levelled", status: "failed" },
    ],
    pairs: [{ lower: "a", upper: "b", spacingM: 20, stepM: 0, verdict: "hump", hump: { chainageM: 10, aboveM: 0.5 } }],
  },
);

/** A drawing on a computer's screen. */
export const wide = { widthPx: 800, fontPx: 15 };
