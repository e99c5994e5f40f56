// What a camera wrote into a JPEG file of when and where it was taken (Exif 2.32, sections
// 4.5.2 and 4.6: tags DateTimeOriginal 0x9003 and those of GPS; from memory). Pure.

import { type Entry, isExif, Notes } from "./exifnotes.ts";
import { segmentsOf } from "./jpeg.ts";

/** What is not in the file, or cannot be, is absent. */
export interface Told {
  readonly takenAt?: string; // "2024-03-01T10:22:33", by the camera's clock where it was
  readonly place?: { readonly lon: number; readonly lat: number; readonly accuracyM?: number };
}

const tagOf = { exif: 0x8769, gps: 0x8825, taken: 0x9003, gpsStatus: 9, latRef: 1, lat: 2, lonRef: 3, lon: 4, errorM: 0x1f } as const;

export function toldBy(file: Uint8Array): Told {
  try {
    const notes = notesOf(file);
    if (!notes) return {};
    const first = notes.first();
    const takenAt = timeOf(notes.text(notes.under(first, tagOf.exif)?.get(tagOf.taken)));
    const place = placeOf(notes, notes.under(first, tagOf.gps));
    return { ...(takenAt ? { takenAt } : {}), ...(place ? { place } : {}) };
  } catch (error) {
    if (error instanceof RangeError) return {}; // an offset that leads out of the file
    throw error;
  }
}

/** The camera's notes before the picture's data. */
function notesOf(file: Uint8Array): Notes | undefined {
  for (const { marker, content } of segmentsOf(file)) if (marker === 0xe1 && isExif(content)) return Notes.read(content);
  return undefined;
}

/** "2024:03:01 10:22:33" as a time; a camera whose clock was never set writes blanks or noughts. */
function timeOf(text: string): string | undefined {
  const parts = /^(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)$/.exec(text);
  if (!parts) return undefined;
  const time = `${parts.slice(1, 4).join("-")}T${parts.slice(4).join(":")}`;
  const at = new Date(`${time}Z`);
  return !Number.isNaN(at.getTime()) && at.toISOString().startsWith(time) && at.getUTCFullYear() > 1900 ? time : undefined;
}

function placeOf(notes: Notes, gps: ReadonlyMap<number, Entry> | undefined): Told["place"] {
  if (!gps || notes.text(gps.get(tagOf.gpsStatus)) === "V") return undefined; // V: the receiver had no fix
  const degrees = (value: number, ref: number, plus: string, minus: string, most: number): number | undefined => {
    const parts = notes.numbers(gps.get(value), 3);
    const way = notes.text(gps.get(ref));
    if (!parts || (way !== plus && way !== minus)) return undefined;
    const all = parts[0]! + parts[1]! / 60 + parts[2]! / 3600;
    return all <= most ? (way === minus ? -all : all) : undefined;
  };
  const lat = degrees(tagOf.lat, tagOf.latRef, "N", "S", 90);
  const lon = degrees(tagOf.lon, tagOf.lonRef, "E", "W", 180);
  if (lat === undefined || lon === undefined || (lat === 0 && lon === 0)) return undefined; // noughts: never filled in
  const accuracyM = notes.numbers(gps.get(tagOf.errorM), 1)?.[0];
  return { lon, lat, ...(accuracyM !== undefined && accuracyM > 0 ? { accuracyM } : {}) };
}
