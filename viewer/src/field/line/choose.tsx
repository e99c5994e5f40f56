// Which line or area to record; what was begun and not saved comes first.

import { kinds, type Kind } from "../app/kinds.ts";
import type { Params } from "../app/screens.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";
import { KindMark } from "../kit/mark.tsx";
import { useRead } from "../kit/useread.ts";
import { byLastUse } from "../mark/lastused.ts";
import { begunLines } from "./keep.ts";
import { UnfinishedLine } from "./unfinished.tsx";

const hasShape = (kind: Kind, shape: "line" | "area") => kind.shapes.includes(shape);
const lineKinds = kinds.filter((k) => hasShape(k, "line") || hasShape(k, "area"));

export function ChooseLine(_: { params: Params }) {
  const field = useField();
  const begun = useRead(() => begunLines(field.shelf, field.property.id), [], field.property.id);
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
      {begun && (
        <>
          {begun.map((line) => <UnfinishedLine key={`${line.kind} ${line.shape}`} line={line} />)}
          <h2>Line</h2>
          {row("line")}
          <h2>Area</h2>
          {row("area")}
        </>
      )}
    </Frame>
  );
}
