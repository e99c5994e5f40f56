// Brings together what happens during a recording: the receiver, the page going out of
// sight, the screen's wake lock and the draft.

import { useEffect, useLayoutEffect, useReducer, useRef, useState } from "preact/hooks";
import { useField } from "../context/field.ts";
import { keepAwake, type Wakefulness } from "../../sensor/awake.ts";
import { type Action, begun, type Course, reduce, type Spot } from "../../survey/line/recording.ts";
import { keptRecording, LineWriter } from "../../survey/line/drafts.ts";
import { measure, roughly, type Measured } from "../../survey/line/measure.ts";
import type { Fix } from "../../sensor/fix.ts";
import { type Around, type Drag, dragOf } from "../../survey/line/drag.ts";

/** A walk takes no fix worse than this: it would be beside the gully. Common practice, no source. */
export const walkWorstM = 50;

export type Loaded = { readonly do: "loaded"; readonly course: Course };

export interface Recording {
  readonly course: Course;
  readonly act: (action: Action) => void;
  readonly ready: boolean; // the draft, if there was one, has been read
  readonly back: boolean; // the course came from a draft
  readonly fix: Fix | null; // the newest, or the mean while standing
  readonly trouble: string;
  readonly wake: Wakefulness | null;
  readonly kept: number | null; // positions written to the phone; null when writing failed
  readonly drop: () => Promise<void>;
}

export function useRecording(kind: string, shape: "line" | "area"): Recording {
  const { store, fixes, property } = useField();
  const [course, act] = useReducer(
    (now: Course, action: Action | Loaded) => (action.do === "loaded" ? action.course : reduce(now, action)),
    shape,
    begun,
  );
  const [loaded, setLoaded] = useState<{ ready: boolean; back: boolean }>({ ready: false, back: false });
  const [position, setPosition] = useState<{ fix: Fix | null; trouble: string }>({ fix: null, trouble: "" });
  const [wake, setWake] = useState<Wakefulness | null>(null);
  const [kept, setKept] = useState<number | null>(0);
  const keeper = useRef<LineWriter | null>(null);
  keeper.current ??= new LineWriter(store, property.id, { kind, shape }, setKept);

  useEffect(() => {
    let here = true;
    keptRecording(store, property.id, kind, shape).then(
      (found) => {
        if (!here) return;
        if (found) act({ do: "loaded", course: found });
        setLoaded({ ready: true, back: found !== undefined });
      },
      () => here && setLoaded({ ready: true, back: false }),
    );
    return () => void (here = false);
  }, []);

  const begunYet = useRef(false);
  useLayoutEffect(() => {
    // with the drawing that shows it: a screen left before the picture would drop it
    begunYet.current ||= course.pieces.some((p) => p.length > 0);
    if (loaded.ready && begunYet.current) keeper.current!.keep(course);
  }, [course.pieces, course.gaps, course.joins, course.closed, course.walk, course.pending, loaded.ready]);

  const walking = course.walk === "on";
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

  return { course, act, ...loaded, ...position, wake, kept, drop: () => keeper.current!.drop() };
}

export function spotOf(fix: Fix, how: Spot["how"]): Spot {
  const { lon, lat, accuracyM, heightM, at } = fix;
  return { lon, lat, accuracyM, atMS: at.getTime(), how, ...(heightM !== undefined && { heightM }) };
}

/** Length and area as the course grows: at once roughly, then as the model has it. */
export function useMeasured(course: Course): Measured {
  const { model } = useField();
  const [proven, set] = useState<{ pieces: Course["pieces"]; closed: boolean; measured: Measured } | null>(null);
  const asked = useRef<{ busy: boolean; next: Course | null }>({ busy: false, next: null });
  useEffect(() => {
    const ask = asked.current;
    ask.next = course;
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
  }, [course.pieces, course.closed]);
  return proven?.pieces === course.pieces && proven.closed === course.closed ? proven.measured : roughly(course);
}

export function useDrag(course: Around["course"], act: Around["act"], accuracyM: Around["accuracyM"]): Drag {
  const now = useRef<Around>({ course, act, accuracyM });
  now.current = { course, act, accuracyM };
  const made = useRef<Drag | null>(null);
  return (made.current ??= dragOf(() => now.current));
}
