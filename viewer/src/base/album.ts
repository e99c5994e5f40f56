// The photos of a thing: its own and those of the visits to it, newest first, each once.
// Pure.

import { kindOf, placeOf, stampedAt, textOf, type Feature } from "./entry.ts";

export interface Picture {
  readonly sha: string;
  readonly feature: string; // that names it
  readonly on: string; // day, "" when nobody knows
  readonly chosen: boolean; // from the gallery, not taken for this
  readonly dayBy?: "picture" | "officer"; // of a chosen one: who says the day
  readonly atMS: number; // of the entry, for the order within a day
  readonly bearingDeg?: number;
  readonly place?: readonly [number, number]; // where the camera stood
}

export function album(of: string, features: readonly Feature[]): readonly Picture[] {
  const found = new Map<string, Picture>();
  for (const f of features) {
    const visit = kindOf(f) === "visit" && textOf(f, "of") === of;
    if (f.struck || !(f.id === of || visit)) continue;
    for (const sha of photosOf(f)) {
      const known = found.get(sha);
      if (!known || visit) found.set(sha, pictureOf(f, sha, visit)); // a visit tells more of it
    }
  }
  return [...found.values()].sort((a, b) => b.on.localeCompare(a.on) || b.atMS - a.atMS);
}

export function photosOf(f: Feature): readonly string[] {
  const list = f.fields["photos"];
  return Array.isArray(list) ? list.filter((sha): sha is string => typeof sha === "string" && /^[0-9a-f]{64}$/.test(sha)) : [];
}

function pictureOf(f: Feature, sha: string, visit: boolean): Picture {
  const bearing = f.fields["bearingDeg"];
  const place = placeOf(f);
  return {
    sha,
    feature: f.id,
    on: textOf(f, "observedOn"),
    ...chosenOf(f),
    atMS: stampedAt(f)?.getTime() ?? 0,
    ...(typeof bearing === "number" ? { bearingDeg: bearing } : {}),
    ...(visit && place?.type === "Point" ? { place: place.coordinates } : {}),
  };
}

function chosenOf(f: Feature): Pick<Picture, "chosen" | "dayBy"> {
  const picture = f.fields["picture"] as { readonly from?: unknown; readonly takenAt?: unknown } | null | undefined;
  if (picture?.from !== "gallery") return { chosen: false };
  const on = textOf(f, "observedOn");
  const written = typeof picture.takenAt === "string" && picture.takenAt.startsWith(on);
  return on ? { chosen: true, dayBy: written ? "picture" : "officer" } : { chosen: true };
}
