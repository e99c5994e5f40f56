import { kindNamed } from "../app/kinds.ts";
import { called } from "../app/words.ts";
import { kindOf, textOf, type Feature } from "../entry.ts";

/** What a feature is called: its own name, or that of its kind. */
export function nameOf(f: Feature): string {
  return called(textOf(f, "name"), kindNamed(kindOf(f)).label);
}
