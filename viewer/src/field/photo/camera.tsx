// The camera in the page: what it sees under the ghost of an earlier photo, so that the same
// view is taken again. Trees, banks and the skyline are brought together, then the tap.

import { useEffect, useRef, useState } from "preact/hooks";
import { day } from "../../base/words.ts";
import { type Feature, numberOf } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { ofItem } from "../part/ofitem.tsx";
import { Trouble } from "../../ui/panel.tsx";
import { album } from "../../base/album.ts";
import { frameOf } from "../../survey/photo/resize.ts";
import { ownNameOf } from "../../base/names.ts";
import { isUndated, usePending } from "../part/pendingphotos.tsx";
import { usePicture } from "../../item/photoview.tsx";
import { useStanding } from "../part/camerapose.ts";
import { StandingWords } from "./standing.tsx";
import { turnWords } from "../../sensor/compass.ts";
import { useTaking } from "../part/taking.ts";

export const Camera = ofItem(Retake, { named: "feature", title: "Photo" });

function Retake({ feature: of }: { feature: Feature }) {
  const field = useField();
  const standing = useStanding();
  const taking = useTaking();
  const video = useRef<HTMLVideoElement>(null);
  const camera = useCamera(video);
  const last = album(of.id, field.features)[0];
  const ghost = usePicture(field.store, last?.feature ?? of.id, last?.sha);
  const [strength, setStrength] = useState(0.5);
  const [grid, setGrid] = useState(true);
  const wanted = last?.bearingDeg ?? numberOf(of, "bearingDeg");
  const step = (by: number) => setStrength((s) => Math.min(1, Math.max(0, Math.round((s + by) * 10) / 10)));
  const before = useRef(last?.sha);
  const [otherwise, setOtherwise] = useState(false);
  useEffect(() => {
    if (otherwise && last?.sha !== before.current) field.back(); // it came by the other way
  }, [otherwise, last?.sha]);
  const { asked } = usePending(of.id, []);
  const isAsked = asked.some(isUndated);
  useEffect(() => {
    if (otherwise && isAsked) field.back(); // its day is asked for there
  }, [otherwise, isAsked]);
  const from = (where: "camera" | "gallery") => () => {
    setOtherwise(true);
    void taking.open(of, "record", where, standing);
  };
  const otherWays = (
    <Row>
      <Button press={from("gallery")}>Gallery</Button>
      <Button press={from("camera")}>Phone's camera</Button>
    </Row>
  );
  const take = async () => {
    const stood = standing.now();
    if (await taking.keep(of, "record", stood, () => frameOf(video.current!, "record"))) field.back();
  };
  return (
    <Frame
      title={`${last ? "Match" : "Photo of"} ${ownNameOf(of)}`}
      actions={
        <>
          {ghost && (
            <div class="strength">
              <Button press={() => step(-0.1)} label="Ghost fainter" disabled={strength <= 0}>
                −
              </Button>
              <label>
                <span>Ghost {Math.round(strength * 100)} %</span>
                <input
                  type="range"
                  min={0}
                  max={1}
                  step={0.1}
                  value={strength}
                  onInput={(e) => setStrength(Number(e.currentTarget.value))}
                />
              </label>
              <Button press={() => step(0.1)} label="Ghost stronger" disabled={strength >= 1}>
                +
              </Button>
            </div>
          )}
          <Row>
            <Button pressed={grid} press={() => setGrid(!grid)}>
              Grid
            </Button>
            <Button rank="main" press={() => void take()} disabled={camera !== "seeing" || taking.busy !== ""}>
              Take photo
            </Button>
          </Row>
        </>
      }
    >
      {camera === "waiting" && (
        <div class="wait" role="status">
          <p>
            <strong>Waiting for the camera.</strong> If the browser asks whether this page may use it, allow it. Or take the photo another
            way:
          </p>
          {otherWays}
        </div>
      )}
      {camera === "refused" && (
        <Trouble
          what="The camera cannot be shown in this page: it was not allowed, or another app is using it."
          todo="Take the photo another way:"
        >
          {otherWays}
        </Trouble>
      )}
      {taking.trouble && <Trouble {...taking.trouble} />}
      <div class="finder">
        <video ref={video} playsInline muted autoPlay aria-label="What the camera sees" />
        {ghost && <img class="ghost" src={ghost.address} alt="" style={{ opacity: strength }} />}
        {grid && (
          <svg viewBox="0 0 3 3" preserveAspectRatio="none" aria-hidden="true">
            <path d="M1 0v3M2 0v3M0 1h3M0 2h3" />
          </svg>
        )}
      </div>
      {last && (
        <p class="soft">
          Ghost: {last.on ? day(last.on) : "a photo whose day is not known"}
          {ghost === null && ", which is not on this phone"}. {turnWords(wanted, standing.bearingDeg)}
        </p>
      )}
      <StandingWords standing={standing} busy={taking.busy} />
    </Frame>
  );
}

/** How long a camera that is allowed takes to start on an old phone; longer, somebody is being asked. */
const startsMS = 1000;

/** Shows the camera at the back in a video. It waits as long as the browser's question is open, which may be for ever. */
function useCamera(video: { readonly current: HTMLVideoElement | null }): "starting" | "waiting" | "seeing" | "refused" {
  const [state, setState] = useState<"starting" | "waiting" | "seeing" | "refused">("starting");
  useEffect(() => {
    let stream: MediaStream | undefined;
    let here = true;
    const late = setTimeout(() => setState("waiting"), startsMS);
    const start = async () => {
      try {
        const got = await navigator.mediaDevices.getUserMedia({
          audio: false,
          video: { facingMode: "environment", width: { ideal: 2048 }, height: { ideal: 1536 } },
        });
        if (!here) return got.getTracks().forEach((t) => t.stop());
        stream = got;
        video.current!.srcObject = got;
        await video.current!.play();
        if (here && video.current!.videoWidth > 0) setState("seeing");
      } catch {
        if (here) setState("refused");
      } finally {
        clearTimeout(late);
      }
    };
    void start();
    return () => {
      here = false;
      clearTimeout(late);
      stream?.getTracks().forEach((t) => t.stop());
    };
  }, []);
  return state;
}
