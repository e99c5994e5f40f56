// What the bytes of a JPEG file say of themselves, without decoding them (ITU-T T.81,
// annex B: markers, B.2.2 frame header; Exif 2.3, section 4.6.4, tag 0x0112; from memory).

import { isExif, Notes } from "./exifnotes.ts";

export interface Stored {
  readonly width: number; // pixels, as stored
  readonly height: number;
  readonly turned: boolean; // the camera says that it is to be turned or mirrored, or may say so
}

/** The segments of a file before its picture data; none of what is no JPEG. */
export function* segmentsOf(file: Uint8Array): Generator<{ readonly marker: number; readonly content: Uint8Array }> {
  if (file[0] !== 0xff || file[1] !== 0xd8) return;
  for (let at = 2; file[at] === 0xff; ) {
    const marker = file[at + 1]!;
    if (marker === 0xff) {
      at++; // a fill byte
      continue;
    }
    const length = (file[at + 2]! << 8) | file[at + 3]!;
    if (marker === 0xd9 || marker === 0xda || length < 2) return;
    yield { marker, content: file.subarray(at + 4, at + 2 + length) };
    at += 2 + length;
  }
}

/** Undefined for what is not a whole JPEG file. */
export function sizeOfJPEG(bytes: Uint8Array): Stored | undefined {
  if (!endsWhole(bytes)) return undefined;
  let turned = false;
  for (const { marker, content } of segmentsOf(bytes)) {
    if (isFrame(marker)) {
      const [, high = 0, tall = 0, broad = 0, wide = 0] = content;
      const [height, width] = [(high << 8) | tall, (broad << 8) | wide];
      return width > 0 && height > 0 ? { width, height, turned } : undefined;
    }
    turned ||= marker === 0xe1 && isTurned(content);
  }
  return undefined;
}

/** C0 to CF but for the tables (C4, CC) and the reserved C8. */
const isFrame = (marker: number): boolean => marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;

/** Whether an Exif segment has an orientation other than 1; true where it cannot be read. */
function isTurned(segment: Uint8Array): boolean {
  if (!isExif(segment)) return false; // notes of another kind
  try {
    const notes = Notes.read(segment);
    const orientation = notes?.first().get(0x0112);
    return !notes || (orientation !== undefined && notes.short(orientation) !== 1);
  } catch {
    return true; // cut off
  }
}

/** Some cameras write more after the end marker; none is missing it. */
function endsWhole(bytes: Uint8Array): boolean {
  for (let i = bytes.length - 2; i >= 2; i--) {
    if (bytes[i] === 0xff && bytes[i + 1] === 0xd9) return true;
  }
  return false;
}
