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
