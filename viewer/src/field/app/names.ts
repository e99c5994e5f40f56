// What an item is called: pure.

import { kindOf, textOf, type Feature } from "../entry.ts";
import { kindNamed } from "./kinds.ts";
import { called } from "./words.ts";

/** Its own name, else what a visit is to, else its kind. */
export function nameOf(feature: Feature, features: readonly Feature[]): string {
  const kind = kindNamed(kindOf(feature));
  const own = called(textOf(feature, "name"), kind.label);
  if (kind.name !== "visit" || own !== kind.label) return own;
  const of = features.find((f) => f.id === feature.fields["of"]);
  return of && kindOf(of) !== "visit" ? `Visit: ${nameOf(of, features)}` : own;
}
