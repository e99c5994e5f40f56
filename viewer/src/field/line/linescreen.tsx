// Recording a line or an area: walked with the receiver, or put down point by point.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { kindNamed } from "../../base/kinds.ts";
import { goInPlace } from "../context/history.ts";
import { accuracyWords, count, day, dayOf } from "../../base/words.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { Question } from "../../ui/question.tsx";
import { useSaving } from "../part/usesaving.ts";
import { fillRoute } from "../part/splitparts.ts";
import type { FieldMap } from "../../map/surveymap.ts";
import { MapFrame } from "../../ui/mapframe.tsx";
import { MapPane } from "../../map/pane.tsx";
import type { Place } from "../../base/plane.ts";
import { isFresh } from "../../sensor/age.ts";
import { agoWords, useAgeS } from "../../sensor/hooks.ts";
import { poorM } from "../../sensor/fixfields.ts";
import { type Action, type Recording, type Spot, spotsOf, undoesLastPoint } from "../../survey/line/recording.ts";
import { keepAgain } from "../../survey/line/drafts.ts";
import { crossing } from "../../survey/line/crossing.ts";
import { drawnPlusMinusM } from "../../survey/line/tapped.ts";
import { finished } from "../../survey/line/finished.ts";
import { Gaps } from "./gaps.tsx";
import { pointNear } from "../../survey/line/nearby.ts";
import { lastPlace, Position } from "./position.tsx";
import { snap, thalwegs } from "../../survey/line/snap.ts";
import { spotOf, useDrag, useMeasured, useRecording, useSketch } from "./userecording.ts";
import { fingerPx } from "../../survey/line/drag.ts";
import { areaWords, closingWords, lengthWords, stateWords } from "../../survey/line/words.ts";

export function LineScreen({ params }: { params: Params }) {
  const field = useField();
  const { fixes } = field;
  const kind = kindNamed(params["kind"]!);
  const shape = params["shape"] === "area" ? "area" : "line";
  const rec = useRecording(kind.name, shape);
  const { recording, act, fix } = rec;
  const measured = useMeasured(recording);
  const gullies = useMemo(() => (kind.name === "thalweg" ? [] : thalwegs(field.features)), [field.features, kind.name]);
  const [onGully, setOnGully] = useState(false);
  const [fault, setFault] = useState<Place | null>(null);
  const { failed, busy, save } = useSaving();
  const map = useRef<FieldMap | null>(null);
  const ageS = useAgeS(fix);
  const [waiting, setWaiting] = useState(false); // for a fresh position to add
  const walking = recording.walk === "on";
  const [goneOn, setGoneOn] = useState(false); // with what was begun before the page closed

  const [asksToDiscard, setAsksToDiscard] = useState(false);

  const asLeft = rec.back && !goneOn;

  const change: typeof act = (action) => {
    setFault(null);
    setAsksToDiscard(false);
    setGoneOn(true);
    act(action);
  };
  const add = (spot: Spot, reachM: number) => {
    const on = onGully ? snap(gullies, spot, reachM) : null;
    change({ do: "add", spot: on ? { ...spot, ...on.at, snappedTo: on.thalweg } : spot });
  };
  const tappedM = (at: Place, metresPerPx: number) => drawnPlusMinusM(at, metresPerPx, field.features, fix);
  const addTapped = (at: Place, metresPerPx: number) =>
    add({ ...at, accuracyM: tappedM(at, metresPerPx), atMS: Date.now(), how: "tapped" }, fingerPx * metresPerPx);
  const tap = (at: Place, metresPerPx: number) => {
    const near = pointNear(recording, at, fingerPx * metresPerPx);
    if (near) act({ do: "choose", chosen: near });
    else if (recording.walk !== "on" && !recording.closed) addTapped(at, metresPerPx);
  };
  /** A position of some seconds ago is not where the officer stands: the next one is added. */
  const addHere = () => {
    if (waiting) return setWaiting(false);
    if (fix && isFresh(fix)) return add(spotOf(fix, "stood"), fix.accuracyM);
    setWaiting(true);
    fixes.again();
  };
  useEffect(() => {
    if (!waiting || !fix || !isFresh(fix)) return;
    setWaiting(false);
    add(spotOf(fix, "stood"), fix.accuracyM);
  }, [fix, waiting]);
  useEffect(() => setWaiting(false), [walking, recording.closed]);
  const close = () => {
    const at = crossing(spotsOf(recording));
    if (at) setFault(at);
    else change({ do: "close" });
  };
  /** Undo of a save that came too early gives the recording back as it was: a walk goes on. */
  const bringBack = async () => {
    await rec.drop();
    const again = await keepAgain(field.store, field.property.id, { kind: kind.name, shape }, recording);
    return again ? `#/line/${kind.name}/${shape}` : undefined;
  };
  const saveLine = async () => {
    act({ do: "pause" }); // of a walk that is still on: it ends here
    const own = { kind: kind.name, observedOn: dayOf(new Date()) }; // the rest is chosen on its form
    const drafts = finished(recording, own, navigator.userAgent).map((set) => ({ set }));
    const open = recording.shape === "area" && !recording.closed; // it is saved as a line
    const said = open
      ? `${kind.label} saved open: ${lengthWords(measured)} as drawn, no area`
      : drafts.length > 1
        ? `${drafts.length} ${kind.plural.toLowerCase()} saved`
        : recording.closed
          ? `${kind.label} saved: ${measured.areaM2 === undefined ? "" : `area ${areaWords(measured)}, `}perimeter ${lengthWords(measured)}`
          : `${kind.label} saved, ${lengthWords(measured)}`;
    const saved = await field.capture(drafts, said, true, bringBack);
    await rec.drop();
    goInPlace(fillRoute(saved.map((s) => s.feature)), true); // back leads past the recording, which is done
  };

  const discard = async () => {
    await rec.drop();
    field.say(`${kind.label} discarded`);
    field.back();
  };

  const sketch = useSketch(recording, fault);
  const closing = closingWords(measured);
  const n = spotsOf(recording).length;
  const savable = recording.closed || recording.pieces.some((p) => p.length > 1);
  const cross = () => {
    const middle = map.current?.middle();
    return middle ? { at: middle.at, accuracyM: tappedM(middle.at, middle.metresPerPx) } : null;
  };
  const addMiddle = () => {
    const middle = map.current?.middle();
    if (middle) addTapped(middle.at, middle.metresPerPx);
    else field.say("The map shows no place yet. Wait for a GPS position.");
  };
  const dragging = useDrag(recording, change, tappedM);
  return (
    <MapFrame
      title={kind.label}
      under={
        <div class="course">
          <p class="big">
            {lengthWords(measured)}
            {recording.closed ? (
              <>
                {" "}
                <span class="soft">perimeter</span>
                {measured.areaM2 !== undefined && `, ${areaWords(measured)}`}
              </>
            ) : (
              recording.shape === "area" && <span class="soft"> as drawn, open</span>
            )}
          </p>
          {closing && <p>{closing}</p>}
          <p role="status">
            {stateWords(recording)}
            {fix && (
              <span class="soft">
                , GPS {accuracyWords(fix.accuracyM)}
                {agoWords(ageS)}
              </span>
            )}
            <span class="soft day">, {day(dayOf(new Date()))}</span>
          </p>
        </div>
      }
      notes={
        <>
          {failed && <Trouble {...failed} />}
          {rec.kept === null && (
            <Trouble
              what="The last points could not be written to the phone."
              todo="They are lost if the page closes. Save the line now."
            />
          )}
          {asksToDiscard && (
            <Question
              words={`Discard this ${shape} of ${count(n, "point", "points")}? It cannot be brought back.`}
              ifNot=""
              yes="Discard it"
              confirm={() => void save(discard)}
            />
          )}
          {!recording.chosen && <Gaps recording={recording} join={(gap) => change({ do: "join", gap })} />}
          {asLeft && !walking && (
            <Caution>
              {recording.walk === "paused"
                ? `Nothing is recorded now. Continue, or save this ${shape} as it is.`
                : `This ${shape} was begun and is not saved. Continue, or save it as it is.`}
            </Caution>
          )}
          {rec.wake === "may-sleep" && <Caution>The screen may sleep and stop the walk: keep touching it.</Caution>}
          {rec.trouble && <Caution>{rec.trouble}</Caution>}
          {!rec.trouble && fix && fix.accuracyM > poorM && (
            <Caution>GPS is poor: points recorded now may be out by {accuracyWords(fix.accuracyM)} or more.</Caution>
          )}
          {fault && (
            <Trouble
              what="The boundary crosses itself in the red ring on the map."
              todo="Remove the last points, or choose a point there and move or remove it. Meanwhile it can be saved as an open line."
            />
          )}
          {recording.closed && measured.problem && (
            <Trouble what={`There is no area: ${measured.problem.reason}.`} todo={measured.problem.fix ?? ""} />
          )}
        </>
      }
      actions={
        recording.chosen ? (
          <Position recording={recording} act={change} cross={cross} />
        ) : (
          <LineActions
            {...{ recording, asLeft, busy, savable, fix: fix !== null, waiting, change, addHere, addMiddle, close }}
            save={() => void save(saveLine)}
          />
        )
      }
    >
      <MapPane
        features={field.features}
        fix={fix}
        sketch={sketch}
        tap={tap}
        {...dragging}
        beginsHere
        aim={recording.walk !== "on" && (!recording.closed || recording.chosen !== null)}
        follow={recording.walk === "on"}
        handle={map}
      >
        {!recording.chosen && (
          <div class="row">
            {gullies.length > 0 && !walking && (
              <Button pressed={onGully} press={() => setOnGully(!onGully)}>
                Snap to the thalweg
              </Button>
            )}
            {n > 0 && <Button press={() => act({ do: "choose", chosen: lastPlace(recording) })}>Edit a point</Button>}
            {n > 0 && !walking && (
              <Button pressed={asksToDiscard} press={() => setAsksToDiscard(!asksToDiscard)}>
                Discard
              </Button>
            )}
          </div>
        )}
      </MapPane>
    </MapFrame>
  );
}

interface ActionsProps {
  readonly recording: Recording;
  readonly asLeft: boolean; // when the page closed: nothing was done to it since
  readonly busy: boolean;
  readonly savable: boolean;
  readonly fix: boolean;
  readonly waiting: boolean;
  readonly change: (action: Action) => void;
  readonly addHere: () => void;
  readonly addMiddle: () => void;
  readonly close: () => void;
  readonly save: () => void;
}

function LineActions({ recording, asLeft, busy, savable, fix, waiting, change, addHere, addMiddle, close, save }: ActionsProps) {
  const restore = (
    <Button press={() => change({ do: "undo" })} disabled={recording.before.length === 0}>
      {undoesLastPoint(recording) ? "Remove last point" : "Undo"}
    </Button>
  );
  const area = recording.shape === "area";
  const saveIt = (rank: "main" | "plain") => (
    <Button rank={rank} press={save} disabled={busy || !savable}>
      {area && !recording.closed ? "Save open" : "Save"}
    </Button>
  );
  if (recording.walk === "on") {
    return (
      <div class="lineactions walking">
        {restore}
        {saveIt("plain")}
        <Button rank="main" press={() => change({ do: "pause" })}>
          Pause
        </Button>
      </div>
    );
  }
  if (recording.closed) {
    return (
      <div class="lineactions closed">
        <Button press={() => change({ do: "open" })}>Reopen</Button>
        {restore}
        {saveIt("main")}
      </div>
    );
  }
  const closable = area && spotsOf(recording).length > 2 && recording.gaps.length === 0;
  const main = asLeft && recording.walk === "paused" ? "walk" : closable ? "close" : savable ? "save" : "walk";
  const rank = (of: typeof main) => (of === main ? "main" : "plain");
  return (
    // all of them from the beginning: none moves when another can be pressed
    <div class="lineactions all">
      <Button press={addHere} disabled={!fix} pressed={waiting}>
        {waiting ? "Waiting for GPS" : "Add where I stand"}
      </Button>
      <Button press={addMiddle}>Add at the cross</Button>
      {restore}
      <Button rank={rank("walk")} press={() => change({ do: "walk" })}>
        {recording.walk === "paused" ? "Continue" : "Walk"}
      </Button>
      {saveIt(rank("save"))}
      {area && (
        <Button rank={rank("close")} press={close} disabled={!closable}>
          Join ends
        </Button>
      )}
    </div>
  );
}
