// Which line or area to record; what was begun and not saved comes first.

import { useState } from "preact/hooks";
import { kinds } from "../../base/kinds.ts";
import type { Params } from "../context/field.ts";
import { useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { KindChooser } from "../../ui/kindchooser.tsx";
import { useRead } from "../../ui/hooks.ts";
import { begunLines } from "../../survey/line/drafts.ts";
import { UnfinishedLine } from "../part/unfinished.tsx";

export function ChooseLine(_: { params: Params }) {
  const field = useField();
  const [shape, setShape] = useState<"line" | "area">("line");
  const begun = useRead(() => begunLines(field.store, field.property.id), [], field.property.id);
  return (
    <Frame title="Record a line or area">
      {begun && (
        <>
          {begun.map((line) => (
            <UnfinishedLine key={`${line.kind} ${line.shape}`} line={line} />
          ))}
          <Row label="Shape">
            <Button pressed={shape === "line"} press={() => setShape("line")}>
              Line
            </Button>
            <Button pressed={shape === "area"} press={() => setShape("area")}>
              Area
            </Button>
          </Row>
          <KindChooser
            kinds={kinds.filter((k) => k.shapes.includes(shape))}
            label={shape === "line" ? "Lines" : "Areas"}
            choose={(kind) => field.go(`#/line/${kind.name}/${shape}`)}
          />
        </>
      )}
    </Frame>
  );
}
