// The step that gives an item its position, wherever it is said that it has none.

import { kindNamed } from "../../base/kinds.ts";
import { kindOf, type Feature } from "../../base/entry.ts";
import { lacksPlace } from "../../base/nearest.ts";

/** Of a point: it is given its position by standing there. name tells it from others in a list. */
export function SetPosition({ of, name, wide }: { of: Feature; name?: string; wide?: boolean }) {
  if (!lacksPlace(of) || !kindNamed(kindOf(of)).shapes.includes("point")) return null;
  return (
    <a class={`button${wide ? " wide" : ""}`} href={`#/thing/${of.id}/edit`} aria-label={name && `Set position of ${name}`}>
      Set position
    </a>
  );
}
