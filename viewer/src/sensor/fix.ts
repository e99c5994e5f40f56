// A fix as the browser's receiver gave it, before anything is made of it.

/** Raw fields of one fix. What the phone did not give is absent. */
export interface RawFix {
  readonly lon: number; // degrees, WGS84
  readonly lat: number;
  readonly accuracyM: number; // the receiver's own word for its radius of doubt
  /** Above the ellipsoid on some phones, above the sea on others, tens of metres apart: never a level. */
  readonly heightM?: number;
  readonly heightAccuracyM?: number;
  readonly headingDeg?: number; // of travel, not of the phone
  readonly speedMps?: number;
  readonly atMS: number; // by the receiver's clock, since 1970
}

/** Reads what Geolocation gives; null when it is no position on the earth. */
export function rawFix(position: Pick<GeolocationPosition, "coords" | "timestamp">): RawFix | null {
  const { coords, timestamp } = position;
  const { longitude: lon, latitude: lat, accuracy: accuracyM } = coords;
  const onEarth = Math.abs(lon) <= 180 && Math.abs(lat) <= 90; // false for NaN
  if (!onEarth || !(accuracyM >= 0) || !Number.isFinite(timestamp)) return null;
  const known = (value: number | null) => typeof value === "number" && Number.isFinite(value);
  return {
    lon,
    lat,
    accuracyM: Math.max(accuracyM, leastAccuracyM),
    atMS: timestamp,
    ...(known(coords.altitude) && { heightM: coords.altitude! }),
    ...(known(coords.altitudeAccuracy) && { heightAccuracyM: coords.altitudeAccuracy! }),
    ...(known(coords.heading) && { headingDeg: coords.heading! }),
    ...(known(coords.speed) && { speedMps: coords.speed! }),
  };
}

/** No receiver without corrections is surer than this; some say 0. From memory, no source. */
const leastAccuracyM = 0.01;

/** A position good enough to be kept, averaged while a form is open. */
export interface Fix {
  readonly lon: number;
  readonly lat: number;
  readonly accuracyM: number;
  readonly heightM?: number; // as the phone gave it: a label, never a level
  readonly at: Date; // of the newest fix in it
  readonly count: number; // fixes averaged
  readonly newest?: RawFix; // the last of them, as the receiver gave it
  readonly takenMS: number; // when that one was taken, by a clock of this page that is never set (age.ts)
  readonly stand?: number; // of an average: another number at every place where it began again
  readonly jumped?: boolean; // of an average: it began again here because the receiver corrected itself
  readonly unsure?: boolean; // of an average: the newest fixes lie elsewhere, and what follows decides
}

export interface Fixes {
  /** Starts the receiver and calls back with every fix; the returned function stops. */
  watch(each: (fix: Fix) => void, trouble: (what: string) => void): () => void;
  /** Asks the receiver for a fresh fix: one that rests says nothing new by itself. */
  again(): void;
  /** Averages where the officer stands, from now until stop: each better mean is told, and it begins again when she moves. */
  average(each: (mean: Fix) => void, trouble: (what: string) => void): () => void;
}
