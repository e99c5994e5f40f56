// What a camera wrote into a JPEG file of when and where it was taken (Exif 2.32, sections
// 4.5.2 and 4.6: tags DateTimeOriginal 0x9003 and those of GPS; from memory). Pure.

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
    const first = notes.list(notes.view.getUint32(4, notes.little));
    const takenAt = timeOf(notes.text(notes.under(first, tagOf.exif)?.get(tagOf.taken)));
    const place = placeOf(notes, notes.under(first, tagOf.gps));
    return { ...(takenAt ? { takenAt } : {}), ...(place ? { place } : {}) };
  } catch (error) {
    if (error instanceof RangeError) return {}; // an offset that leads out of the file
    throw error;
  }
}

/** The Exif segment before the picture's data. */
function notesOf(file: Uint8Array): Notes | undefined {
  if (file[0] !== 0xff || file[1] !== 0xd8) return undefined;
  for (let at = 2; at + 4 <= file.length && file[at] === 0xff; ) {
    const marker = file[at + 1]!;
    if (marker === 0xff) {
      at++; // a fill byte
      continue;
    }
    if (marker === 0xda || marker === 0xd9) return undefined;
    const length = (file[at + 2]! << 8) | file[at + 3]!;
    const segment = file.subarray(at + 4, at + 2 + length);
    if (marker === 0xe1 && segment.length >= 14 && String.fromCharCode(...segment.subarray(0, 6)) === "Exif\0\0")
      return Notes.read(segment.subarray(6));
    at += 2 + Math.max(2, length);
  }
  return undefined;
}

interface Entry {
  readonly type: number;
  readonly count: number;
  readonly at: number; // of its value
}

const bytesOf: { readonly [type: number]: number } = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1 };

class Notes {
  private constructor(
    readonly view: DataView,
    readonly little: boolean,
  ) {}

  static read(tiff: Uint8Array): Notes | undefined {
    const view = new DataView(tiff.buffer, tiff.byteOffset, tiff.byteLength);
    const order = view.getUint16(0);
    return order === 0x4949 || order === 0x4d4d ? new Notes(view, order === 0x4949) : undefined;
  }

  list(at: number): ReadonlyMap<number, Entry> {
    const entries = new Map<number, Entry>();
    const count = this.view.getUint16(at, this.little);
    for (let i = 0; i < count; i++) {
      const entry = at + 2 + 12 * i;
      const type = this.view.getUint16(entry + 2, this.little);
      const count = this.view.getUint32(entry + 4, this.little);
      const inPlace = (bytesOf[type] ?? 0) * count <= 4;
      entries.set(this.view.getUint16(entry, this.little), {
        type,
        count,
        at: inPlace ? entry + 8 : this.view.getUint32(entry + 8, this.little),
      });
    }
    return entries;
  }

  under(list: ReadonlyMap<number, Entry>, tag: number): ReadonlyMap<number, Entry> | undefined {
    const entry = list.get(tag);
    return entry?.type === 4 ? this.list(this.view.getUint32(entry.at, this.little)) : undefined;
  }

  text(entry: Entry | undefined): string {
    if (entry?.type !== 2 || entry.count > 64) return "";
    let text = "";
    for (let i = 0; i < entry.count; i++) text += String.fromCharCode(this.view.getUint8(entry.at + i));
    return text.split("\0")[0]!.trim();
  }

  /** Fractions; undefined where there are not so many, or one is divided by nothing. */
  numbers(entry: Entry | undefined, count: number): readonly number[] | undefined {
    if (entry?.type !== 5 || entry.count !== count) return undefined;
    const all = Array.from(
      { length: count },
      (_, i) => this.view.getUint32(entry.at + 8 * i, this.little) / this.view.getUint32(entry.at + 8 * i + 4, this.little),
    );
    return all.every(Number.isFinite) ? all : undefined;
  }
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
