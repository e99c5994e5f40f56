// Which line or area to record; what was begun and not saved comes first.

import { useEffect, useState } from "preact/hooks";
import { kinds, type Kind } from "../app/kinds.ts";
import type { Params } from "../app/screens.ts";
import { count } from "../app/words.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";
import { KindMark } from "../kit/mark.tsx";
import { byLastUse } from "../mark/lastused.ts";
import { spotsOf } from "./course.ts";
import { keptCourse } from "./keep.ts";

const hasShape = (kind: Kind, shape: "line" | "area") => kind.shapes.includes(shape);
const lineKinds = kinds.filter((k) => hasShape(k, "line") || hasShape(k, "area"));

export function ChooseLine(_: { params: Params }) {
  const field = useField();
  const begun = useBegun();
  const ordered = byLastUse(lineKinds, field.features);
  const row = (shape: "line" | "area") => (
    <div class="kinds" role="group" aria-label={shape === "line" ? "Lines" : "Areas"}>
      {ordered.filter((k) => hasShape(k, shape)).map((kind) => (
        <Button key={kind.name} press={() => field.go(`#/line/${kind.name}/${shape}`)}>
          <KindMark kind={kind.name} />
          {kind.label}
        </Button>
      ))}
    </div>
  );
  return (
    <Frame title="Record a line or area">
      <Begun begun={begun} />
      <h2>A line</h2>
      {row("line")}
      <h2>An area</h2>
      {row("area")}
    </Frame>
  );
}

interface Begun {
  readonly kind: Kind;
  readonly positions: number;
  readonly shape: "line" | "area";
}

/** Lines that were begun and not saved, for the screens that lead to them. */
export function useBegun(): readonly Begun[] {
  const { shelf, property } = useField();
  const [begun, set] = useState<readonly Begun[]>([]);
  useEffect(() => {
    let here = true;
    const look = async () => {
      const found: Begun[] = [];
      for (const kind of lineKinds) {
        for (const shape of ["line", "area"] as const) {
          const course = hasShape(kind, shape) && (await keptCourse(shelf, property.id, kind.name, shape));
          if (course) found.push({ kind, positions: spotsOf(course).length, shape });
        }
      }
      if (here) set(found);
    };
    look().catch(() => {}); // the shelf's own trouble is told by the shell
    return () => void (here = false);
  }, [property.id]);
  return begun;
}

export function Begun({ begun }: { begun: readonly Begun[] }) {
  return (
    <>
      {begun.map(({ kind, positions, shape }) => (
        <p class="caution" key={`${kind.name} ${shape}`}>
          A {kind.label.toLowerCase()} of {count(positions, "position", "positions")} is not saved yet.
          <a class="button wide" href={`#/line/${kind.name}/${shape}`}>Go on with the {kind.label.toLowerCase()}</a>
        </p>
      ))}
    </>
  );
}
