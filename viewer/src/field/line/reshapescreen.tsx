// Editing the shape of a saved item on the map: points are dragged, moved by buttons, added
// and removed. It becomes one entry; what was there before stays in the register.

import { useEffect, useMemo, useReducer, useRef, useState } from "preact/hooks";
import { kindNamed } from "../../base/kinds.ts";
import { nameOf } from "../../base/names.ts";
import { useApp } from "../context/app.ts";
import { kindOf, type Feature } from "../../base/entry.ts";
import { type Params, useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Frame, Opening } from "../../ui/frame.tsx";
import { NotHere } from "../part/ofitem.tsx";
import { LatestWriter } from "../../storage/latestwriter.ts";
import { Trouble } from "../../ui/panel.tsx";
import { useSaving } from "../part/usesaving.ts";
import { useRead } from "../../ui/hooks.ts";
import type { FieldMap } from "../../map/surveymap.ts";
import { MapFrame } from "../../ui/mapframe.tsx";
import { MapPane } from "../../map/pane.tsx";
import type { Place } from "../../base/plane.ts";
import { isItem } from "../../base/nearest.ts";
import { reduce, resumed, spotsOf, type Action } from "../../survey/line/recording.ts";
import { crossing } from "../../survey/line/crossing.ts";
import { drawnPlusMinusM } from "../../survey/line/tapped.ts";
import { pointNear, sideNear } from "../../survey/line/nearby.ts";
import { lastPlace, Position } from "./position.tsx";
import { cannotSave, reshaped, shapeOf, type Shape } from "../../survey/line/reshape.ts";
import { draftKey, type ShapeDraft } from "../../survey/line/drafts.ts";
import { useDrag, useMeasured, useSketch } from "./userecording.ts";
import { fingerPx } from "../../survey/line/drag.ts";
import { areaWords, lengthWords } from "../../survey/line/words.ts";

export function ReshapeScreen({ params }: { params: Params }) {
  const field = useField();
  const feature = field.features.find((f) => f.id === params["id"]);
  const shape = useMemo(() => feature && shapeOf(feature), [feature?.id]);
  const draft = useRead(async () => (await field.store.draft<ShapeDraft>(draftKey(params["id"]!))) ?? null, null, params["id"]!);
  if (!feature) return <NotHere />;
  if (!shape)
    return (
      <Frame title={nameOf(feature, field.features)}>
        <p>Its shape came from a file and cannot be edited on the phone. Edit it where it was drawn, and take the file in again.</p>
      </Frame>
    );
  if (draft === undefined) return <Opening title={nameOf(feature, field.features)} />;
  return <Reshaping feature={feature} shape={shape} draft={draft} />;
}

function Reshaping({ feature, shape, draft }: { feature: Feature; shape: Shape; draft: ShapeDraft | null }) {
  const field = useField();
  const { fix } = useApp().state;
  const point = shape.type === "Point";
  const first = { ...shape.recording, chosen: point ? { piece: 0, spot: 0 } : null };
  const [stamp] = useState(feature.stamp);
  const [recording, act] = useReducer(reduce, draft?.of === feature.stamp ? resumed(draft.course) : first);
  const { failed, fail, busy, save } = useSaving();
  const [fault, setFault] = useState<Place | null>(null);
  const map = useRef<FieldMap | null>(null);
  const measured = useMeasured(recording);
  const writer = useMemo(
    () =>
      new LatestWriter<ShapeDraft>(
        (value) => field.store.keepDraft(draftKey(feature.id), value),
        () => {},
      ),
    [feature.id],
  );
  const others = useMemo(() => field.features.filter((f) => isItem(f) && f.id !== feature.id), [field.features, feature.id]);
  const touched = recording.pieces !== shape.recording.pieces;
  useEffect(() => {
    const { before: _, ...rest } = recording;
    if (touched) writer.keep({ course: rest, of: stamp });
  }, [recording.pieces]);
  useEffect(() => {
    map.current?.lookAt(spotsOf(shape.recording));
  }, []);

  const change = (action: Action) => {
    setFault(null);
    fail(null);
    act(action);
  };
  const accuracy = (at: Place, metresPerPx: number) => drawnPlusMinusM(at, metresPerPx, others, fix);
  const dragging = useDrag(recording, change, accuracy);
  const tap = (at: Place, metresPerPx: number) => {
    if (point) return change({ do: "move", at: { piece: 0, spot: 0 }, to: at, accuracyM: accuracy(at, metresPerPx), goesOn: false });
    const near = pointNear(recording, at, fingerPx * metresPerPx);
    if (near) act({ do: "choose", chosen: near });
    else {
      const side = sideNear(recording, at, fingerPx * metresPerPx);
      if (side)
        change({
          do: "insert",
          piece: side.piece,
          after: side.after,
          spot: { ...side.at, accuracyM: accuracy(side.at, metresPerPx), atMS: Date.now(), how: "tapped" },
        });
    }
  };
  const cross = () => {
    const middle = map.current?.middle();
    return middle ? { at: middle.at, accuracyM: accuracy(middle.at, middle.metresPerPx) } : null;
  };
  const leave = async () => {
    await writer.stop();
    await field.store.dropDraft(draftKey(feature.id)).catch(() => {});
  };
  const saveShape = async () => {
    const wrong = cannotSave({ ...shape, recording });
    if (wrong) return fail({ what: wrong, todo: "" });
    const at = recording.closed ? crossing(spotsOf(recording)) : null;
    if (at) return setFault(at);
    await save(async () => {
      await field.capture(
        [{ feature: feature.id, set: reshaped({ ...shape, recording }, feature.fields) }],
        `${nameOf(feature, field.features)}: ${point ? "position" : "shape"} edited`,
      );
      await leave();
      field.back();
    });
  };
  const sketch = useSketch(recording, fault);
  const undo = (
    <Button press={() => change({ do: "undo" })} disabled={recording.before.length === 0}>
      Undo
    </Button>
  );
  const saveIt = (
    <Button rank="main" press={() => void saveShape()} disabled={busy || !touched}>
      Save
    </Button>
  );
  const moved = feature.stamp !== stamp;
  const open = shape.type !== "Point" && !kindNamed(kindOf(feature)).shapes.includes("line"); // a boundary that was not closed
  return (
    <MapFrame
      title={nameOf(feature, field.features)}
      under={
        <p class="soft">
          {point
            ? "Tap or drag to where it is"
            : recording.shape === "area"
              ? `${lengthWords(measured)} perimeter${measured.areaM2 === undefined ? "" : `, ${areaWords(measured)}`}`
              : `${lengthWords(measured)}${open ? " as drawn, open" : ""}`}
        </p>
      }
      back={() => void leave().then(() => field.back())}
      notes={
        <>
          {failed && <Trouble {...failed} />}
          {fault && <Trouble what="The boundary crosses itself in the red ring on the map." todo="Move or remove a point there." />}
          {moved && (
            <p class="caution">
              This {kindNamed(kindOf(feature)).label.toLowerCase()} was changed elsewhere meanwhile. Go back to see it, or save this shape:
              both stay in the register.
            </p>
          )}
          {draft && draft.of === stamp && <p class="note">This edit was begun and not saved. Continue, or go back to drop it.</p>}
        </>
      }
      actions={
        <>
          {recording.chosen && <Position recording={recording} act={change} cross={cross} alone={point} splits={false} />}
          {(point || !recording.chosen) && (
            <Row>
              {!point && <Button press={() => act({ do: "choose", chosen: lastPlace(recording) })}>Edit a point</Button>}
              {undo}
              {saveIt}
            </Row>
          )}
        </>
      }
    >
      <MapPane features={others} fix={fix} sketch={sketch} tap={tap} {...dragging} aim={recording.chosen !== null} handle={map} />
    </MapFrame>
  );
}
