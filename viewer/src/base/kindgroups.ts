// The kinds by what an officer does with them, in one order for every chooser: what erodes,
// what is built against it, what is surveyed and watched, and what is there besides.

import { kinds, type Kind } from "./kinds.ts";

/** What a kind is called besides, for who looks for it by that word. */
export const alsoCalled: { readonly [kind: string]: string } = { thalweg: "gully bed" };

export interface KindGroup {
  readonly title: string;
  readonly kinds: readonly Kind[];
}

const erosion = ["gully-head", "thalweg", "gully-edge", "cross-section", "scald"];
const survey = ["peg", "benchmark", "photo-point", "cover-plot", "pasture-assessment"];

/** Of a work its kind says so; what is in no other group lies on the land. */
const groupOf = (k: Kind): number =>
  erosion.includes(k.name) ? 0 : k.work ? 1 : survey.includes(k.name) ? 2 : k.name === "unsorted" ? 4 : 3;
const titles = ["Erosion", "Works", "Survey and photos", "On the property", "Not sorted yet"];
const place = (k: Kind): number =>
  groupOf(k) === 0 ? erosion.indexOf(k.name) : groupOf(k) === 2 ? survey.indexOf(k.name) : kinds.indexOf(k);

/** Some kinds in the order of every chooser. */
export const inOrder = (some: readonly Kind[]): readonly Kind[] => [...some].sort((a, b) => groupOf(a) - groupOf(b) || place(a) - place(b));

/** The groups that have any of some kinds. */
export function grouped(some: readonly Kind[]): readonly KindGroup[] {
  const ordered = inOrder(some);
  return titles.flatMap((title, i) => {
    const of = ordered.filter((k) => groupOf(k) === i);
    return of.length > 0 ? [{ title, kinds: of }] : [];
  });
}
