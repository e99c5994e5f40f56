// The phone's receiver, for the whole page: one watch however many screens look on.

import { age, noClocks, oldMS, steadyMS } from "./age.ts";
import { type Mean, meanOf, noMean, taken } from "./mean.ts";
import { type Fix, type Fixes, type RawFix, rawFix } from "./fix.ts";

/** Worse than this, the phone gives a district and not a place: its owner allowed only an approximate position. */
export const roughM = 500;

export interface Receiver extends Fixes {
  /** Takes fixes of any accuracy from now on, told as they are; for an officer who has seen how poor they are. */
  acceptRough(accept: boolean): void;
  /** Every raw fix that is fresh and fine enough. */
  listen(each: (fix: RawFix, takenMS: number) => void, trouble: (what: string) => void): () => void;
}

interface Listener {
  readonly each: (fix: RawFix, takenMS: number) => void;
  readonly trouble: (what: string) => void;
}

/** After which a question that the officer has not answered is pointed out. */
const askedMS = 3000;
const askedWords = "The browser asks whether this page may use your location: allow it.";

async function questionOpen(): Promise<boolean> {
  try {
    return (await navigator.permissions.query({ name: "geolocation" })).state === "prompt";
  } catch {
    return false; // this browser does not say
  }
}

export function receiver(source: Geolocation | undefined = navigator.geolocation): Receiver {
  const listeners = new Set<Listener>();
  let watch: number | null = null;
  let clocks = noClocks;
  let rough = false;
  let newest: { readonly fix: RawFix; readonly takenMS: number } | null = null;

  const tellTrouble = (what: string) => listeners.forEach((l) => l.trouble(what));
  const heard = (position: GeolocationPosition) => {
    const fix = rawFix(position);
    if (!fix) return tellTrouble("GPS gave a position that is not on the earth. Wait for the next one.");
    const judged = age(clocks, fix.atMS, steadyMS());
    clocks = judged.clocks;
    if (judged.ageMS > oldMS)
      return tellTrouble(`The phone gave a position ${agoWords(judged.ageMS)} old. Waiting for a fresh one: stand in the open.`);
    if (fix.accuracyM > roughM && !rough) return tellTrouble(roughWords(fix.accuracyM));
    const takenMS = steadyMS() - judged.ageMS;
    newest = { fix, takenMS };
    listeners.forEach((l) => l.each(fix, takenMS));
  };
  const failed = (error: GeolocationPositionError) => {
    tellTrouble(troubleWords(error.code));
    if (error.code === error.PERMISSION_DENIED) stop(); // the watch is dead; the next listener asks again
  };
  const stop = () => {
    if (watch !== null) source?.clearWatch(watch);
    watch = null;
  };
  const start = () => {
    if (watch !== null || !source) return;
    const mine = (watch = source.watchPosition(heard, failed, { enableHighAccuracy: true, maximumAge: 0, timeout: 20_000 }));
    // The watch's own timeout does not run while the browser's question is open.
    setTimeout(() => void questionOpen().then((open) => open && watch === mine && listeners.size && tellTrouble(askedWords)), askedMS);
  };
  const again = () => {
    stop(); // a receiver at rest says nothing new to a watch that runs already
    start();
  };
  // Phones let a watch lapse while the page is hidden, and a permission may have been given meanwhile.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && listeners.size) again();
  });

  const listen = (each: Listener["each"], trouble: Listener["trouble"]) => {
    const listener = { each, trouble };
    listeners.add(listener);
    if (!source) trouble("This browser gives no position. Use a phone with GPS.");
    const known = newest;
    if (watch !== null && known && steadyMS() - known.takenMS < oldMS) {
      queueMicrotask(() => listeners.has(listener) && each(known.fix, known.takenMS));
    } else again();
    return () => {
      listeners.delete(listener);
      if (!listeners.size) stop();
    };
  };
  return {
    listen,
    again,
    acceptRough: (accept) => void (rough = accept),
    watch: (each, trouble) => listen((fix, takenMS) => each(single(fix, takenMS)), trouble),
    average(each, trouble) {
      let mean: Mean = noMean;
      let newest: { readonly at: Date; readonly newest: RawFix; readonly takenMS: number } | null = null;
      return listen((fix, takenMS) => {
        mean = taken(mean, fix);
        if (!newest || mean.aside.length === 0) newest = { at: new Date(fix.atMS), newest: fix, takenMS }; // one that was put aside makes the mean no newer
        each({
          ...meanOf(mean)!,
          count: mean.fixes.length,
          ...newest,
          stand: mean.stand,
          jumped: mean.jumped,
          unsure: mean.aside.length > 0,
        });
      }, trouble);
    },
  };
}

function single(fix: RawFix, takenMS: number): Fix {
  const { lon, lat, accuracyM, heightM } = fix;
  return { lon, lat, accuracyM, ...(heightM !== undefined && { heightM }), at: new Date(fix.atMS), count: 1, newest: fix, takenMS };
}

function agoWords(ms: number): string {
  const s = Math.round(ms / 1000);
  if (s < 90) return `${s} seconds`;
  return s < 5400 ? `${Math.round(s / 60)} minutes` : `${Math.round(s / 3600)} hours`;
}

const roughStart = "The phone gives its position only to within";

/** Whether trouble is that fixes are too rough, so that acceptRough would let them pass. */
export const isRough = (trouble: string): boolean => trouble.startsWith(roughStart);

export function roughWords(accuracyM: number): string {
  const about = accuracyM < 950 ? `${Math.round(accuracyM)} m` : `${(accuracyM / 1000).toFixed(accuracyM < 9500 ? 1 : 0)} km`;
  return `${roughStart} ${about}. Allow precise location for this page in the phone's settings.`;
}

function troubleWords(code: number): string {
  switch (code) {
    case 1:
      return "Location is blocked for this page. Allow it in the browser's settings.";
    case 3:
      return "No position yet. Stand in the open, away from gully walls and trees.";
    default:
      return "No GPS position. Turn location on, and stand in the open.";
  }
}
