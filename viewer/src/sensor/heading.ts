// Which way the phone points, by its compass. It is off by degrees near steel: fences,
// a vehicle, a theodolite's legs. North is the phone's own; phones give magnetic or true
// north without saying which.

import { compassDeg } from "./compass.ts";

export interface Heading {
  readonly bearingDeg: number; // of the camera when the phone is held up, of its top edge when it lies flat
  readonly accuracyDeg?: number; // as the phone gave it
}

type Asking = typeof DeviceOrientationEvent & { requestPermission?: () => Promise<"granted" | "denied"> };
type Turned = DeviceOrientationEvent & { webkitCompassHeading?: number; webkitCompassAccuracy?: number };

/** True where the phone asks its owner before it tells headings: askHeading must then run in a tap. */
export function headingAsks(): boolean {
  return typeof DeviceOrientationEvent !== "undefined" && typeof (DeviceOrientationEvent as Asking).requestPermission === "function";
}

/** Asks for the compass; true when it may be used. Call it in a tap. */
export async function askHeading(): Promise<boolean> {
  if (typeof DeviceOrientationEvent === "undefined") return false;
  const ask = (DeviceOrientationEvent as Asking).requestPermission;
  if (!ask) return true;
  try {
    return (await ask.call(DeviceOrientationEvent)) === "granted";
  } catch {
    return false; // asked outside a tap
  }
}

/** Calls back with every heading; the returned function stops. A phone without compass never calls. */
export function watchHeading(each: (heading: Heading) => void): () => void {
  const turned = (event: Event) => {
    const heading = headingOf(event as Turned, screen.orientation?.angle ?? 0);
    if (heading) each(heading);
  };
  // Only the absolute event counts from north; the plain one does where it has a compass heading.
  const names = "ondeviceorientationabsolute" in window ? ["deviceorientationabsolute"] : ["deviceorientation"];
  names.forEach((name) => addEventListener(name, turned));
  return () => names.forEach((name) => removeEventListener(name, turned));
}

/** The heading in an event, null when it counts from nowhere. */
export function headingOf(
  event: Pick<Turned, "absolute" | "alpha" | "beta" | "gamma" | "webkitCompassHeading" | "webkitCompassAccuracy">,
  screenDeg: number,
): Heading | null {
  const { webkitCompassHeading: given, webkitCompassAccuracy: doubt } = event;
  if (typeof given === "number" && given >= 0) {
    return { bearingDeg: (given + screenDeg) % 360, ...(typeof doubt === "number" && doubt >= 0 && { accuracyDeg: doubt }) };
  }
  const { absolute, alpha, beta, gamma } = event;
  if (!absolute || alpha === null || beta === null || gamma === null) return null;
  return { bearingDeg: compassDeg(alpha, beta, gamma, screenDeg) };
}
