// Brings together what happens during a recording: the receiver, the page going out of
// sight, the screen's wake lock and the draft.

import { useEffect, useLayoutEffect, useMemo, useReducer, useRef, useState } from "preact/hooks";
import { useField } from "../context/field.ts";
import { keepAwake, type Wakefulness } from "../../sensor/awake.ts";
import { type Action, begun, chosenSpot, type Recording, reduce, type Spot } from "../../survey/line/recording.ts";
import { keptRecording, LineWriter } from "../../survey/line/drafts.ts";
import { measure, roughly, type Measured } from "../../survey/line/measure.ts";
import type { Place } from "../../base/plane.ts";
import type { Sketch } from "../../map/sketch.ts";
import type { Fix } from "../../sensor/fix.ts";
import { type Around, type Drag, dragOf } from "../../survey/line/drag.ts";
import { useAsking } from "../../ui/hooks.ts";

/** A walk takes no fix worse than this: it would be beside the gully. Common practice, no source. */
export const walkWorstM = 50;

export type Loaded = { readonly do: "loaded"; readonly recording: Recording };

export interface Recorder {
  readonly recording: Recording;
  readonly act: (action: Action) => void;
  readonly ready: boolean; // the draft, if there was one, has been read
  readonly back: boolean; // it came from a draft
  readonly fix: Fix | null; // the newest, or the mean while standing
  readonly trouble: string;
  readonly wake: Wakefulness | null;
  readonly kept: number | null; // positions written to the phone; null when writing failed
  readonly drop: () => Promise<void>;
}

export function useRecording(kind: string, shape: "line" | "area"): Recorder {
  const { store, fixes, property } = useField();
  const [recording, act] = useReducer(
    (now: Recording, action: Action | Loaded) => (action.do === "loaded" ? action.recording : reduce(now, action)),
    shape,
    begun,
  );
  const [loaded, setLoaded] = useState<{ ready: boolean; back: boolean }>({ ready: false, back: false });
  const [position, setPosition] = useState<{ fix: Fix | null; trouble: string }>({ fix: null, trouble: "" });
  const [wake, setWake] = useState<Wakefulness | null>(null);
  const [kept, setKept] = useState<number | null>(0);
  const writer = useRef<LineWriter | null>(null);
  writer.current ??= new LineWriter(store, property.id, { kind, shape }, setKept);

  useAsking(
    () => keptRecording(store, property.id, { kind, shape }),
    [],
    (found) => {
      if (found) act({ do: "loaded", recording: found });
      setLoaded({ ready: true, back: found !== undefined });
    },
    () => setLoaded({ ready: true, back: false }),
  );

  const begunYet = useRef(false);
  useLayoutEffect(() => {
    // with the drawing that shows it: a screen left before the picture would drop it
    begunYet.current ||= recording.pieces.some((p) => p.length > 0);
    if (loaded.ready && begunYet.current) writer.current!.keep(recording);
  }, [recording.pieces, recording.gaps, recording.joins, recording.closed, recording.walk, recording.pending, loaded.ready]);

  const walking = recording.walk === "on";
  useEffect(() => {
    const trouble = (what: string) => setPosition((was) => ({ ...was, trouble: what }));
    if (!walking) return fixes.average((fix) => setPosition({ fix, trouble: "" }), trouble);
    return fixes.watch((fix) => {
      if (document.visibilityState !== "visible") return; // it was under way when the page was hidden
      if (fix.accuracyM > walkWorstM)
        return setPosition({ fix, trouble: "GPS is too poor to record: stand in the open until it is better." });
      setPosition({ fix, trouble: "" });
      act({ do: "fix", spot: spotOf(fix, "walked") });
    }, trouble);
  }, [walking, fixes]);

  useEffect(() => {
    if (!walking) return undefined;
    const hidden = () => document.visibilityState === "hidden" && act({ do: "hidden" });
    document.addEventListener("visibilitychange", hidden);
    const letSleep = keepAwake(setWake);
    return () => {
      document.removeEventListener("visibilitychange", hidden);
      letSleep();
      setWake(null);
    };
  }, [walking]);

  return { recording, act, ...loaded, ...position, wake, kept, drop: () => writer.current!.drop() };
}

export function spotOf(fix: Fix, how: Spot["how"]): Spot {
  const { lon, lat, accuracyM, heightM, at } = fix;
  return { lon, lat, accuracyM, atMS: at.getTime(), how, ...(heightM !== undefined && { heightM }) };
}

/** Length and area as the recording grows: at once roughly, then as the model has it. */
export function useMeasured(recording: Recording): Measured {
  const { model } = useField();
  const [proven, set] = useState<{ pieces: Recording["pieces"]; closed: boolean; measured: Measured } | null>(null);
  const asked = useRef<{ busy: boolean; next: Recording | null }>({ busy: false, next: null });
  useEffect(() => {
    const ask = asked.current;
    ask.next = recording;
    if (ask.busy) return; // the one under way goes on with the newest
    ask.busy = true;
    void (async () => {
      for (let now = ask.next; now; now = ask.next) {
        ask.next = null;
        const { pieces, closed } = now;
        try {
          const measured = await measure(model, now);
          set({ pieces, closed, measured });
        } catch {
          // not there: what is roughly known is shown
        }
      }
      ask.busy = false;
    })();
  }, [recording.pieces, recording.closed]);
  return proven?.pieces === recording.pieces && proven.closed === recording.closed ? proven.measured : roughly(recording);
}

export function useDrag(recording: Around["recording"], act: Around["act"], accuracyM: Around["accuracyM"]): Drag {
  const now = useRef<Around>({ recording: recording, act, accuracyM });
  now.current = { recording: recording, act, accuracyM };
  const made = useRef<Drag | null>(null);
  return (made.current ??= dragOf(() => now.current));
}

/** What the map draws of a recording. fault: where its boundary crosses itself. */
export function useSketch(recording: Recording, fault: Place | null): Sketch {
  return useMemo(
    () => ({
      pieces: recording.pieces,
      area: recording.shape === "area",
      closed: recording.closed,
      chosen: chosenSpot(recording) ?? null,
      fault,
    }),
    [recording, fault],
  );
}
