// Lines that were begun and not saved, when the page was left, closed or killed.

import { useEffect, useState } from "preact/hooks";
import { kindNamed, type Kind } from "../app/kinds.ts";
import { count } from "../app/words.ts";
import { useField } from "../field.ts";
import { spotsOf } from "./course.ts";
import { begunLines, keptCourse } from "./keep.ts";

interface Begun {
  readonly kind: Kind;
  readonly positions: number;
  readonly shape: "line" | "area";
}

export function BegunLines() {
  const { shelf, property } = useField();
  const [begun, set] = useState<readonly Begun[]>([]);
  useEffect(() => {
    let here = true;
    const look = async () => {
      const found: Begun[] = [];
      for (const { kind, shape } of await begunLines(shelf, property.id)) {
        const course = await keptCourse(shelf, property.id, kind, shape);
        if (course) found.push({ kind: kindNamed(kind), positions: spotsOf(course).length, shape });
      }
      if (here) set(found);
    };
    look().catch(() => {}); // the shelf's own trouble is told by the shell
    return () => void (here = false);
  }, [property.id]);
  return (
    <>
      {begun.map(({ kind, positions, shape }) => (
        <p class="caution" key={`${kind.name} ${shape}`}>
          {/^[aeiou]/i.test(kind.label) ? "An" : "A"} {kind.label.toLowerCase()} of {count(positions, "position", "positions")} is not saved yet.
          <a class="button wide" href={`#/line/${kind.name}/${shape}`}>Go on with the {kind.label.toLowerCase()}</a>
        </p>
      ))}
    </>
  );
}
