// What the bytes of a JPEG file say of themselves, without decoding them (ITU-T T.81,
// annex B: markers, B.2.2 frame header; Exif 2.3, section 4.6.4, tag 0x0112; from memory).

export interface Stored {
  readonly width: number; // pixels, as stored
  readonly height: number;
  readonly turned: boolean; // the camera says that it is to be turned or mirrored, or may say so
}

/** Undefined for what is not a whole JPEG file. */
export function sizeOfJPEG(bytes: Uint8Array): Stored | undefined {
  const end = bytes.length;
  if (end < 4 || bytes[0] !== 0xff || bytes[1] !== 0xd8 || !endsWhole(bytes)) return undefined;
  let turned = false;
  let at = 2;
  while (at + 9 < end) {
    if (bytes[at] !== 0xff) return undefined;
    const marker = bytes[at + 1]!;
    if (marker === 0xff) {
      at++; // a fill byte
      continue;
    }
    if (marker === 0xd9 || marker === 0xda) return undefined; // picture data before any frame header
    if (isFrame(marker)) {
      const height = (bytes[at + 5]! << 8) | bytes[at + 6]!;
      const width = (bytes[at + 7]! << 8) | bytes[at + 8]!;
      return width > 0 && height > 0 ? { width, height, turned } : undefined;
    }
    const length = (bytes[at + 2]! << 8) | bytes[at + 3]!;
    if (length < 2) return undefined;
    if (marker === 0xe1) turned ||= isTurned(bytes.subarray(at + 4, at + 2 + length));
    at += 2 + length;
  }
  return undefined;
}

/** C0 to CF but for the tables (C4, CC) and the reserved C8. */
const isFrame = (marker: number): boolean => marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;

/** Whether an Exif segment has an orientation other than 1; true where it cannot be read. */
function isTurned(segment: Uint8Array): boolean {
  if (segment.length < 14 || String.fromCharCode(...segment.subarray(0, 6)) !== "Exif\0\0") return false; // notes of another kind
  const view = new DataView(segment.buffer, segment.byteOffset + 6, segment.length - 6);
  const order = view.getUint16(0);
  const little = order === 0x4949;
  if (!little && order !== 0x4d4d) return true;
  const list = view.getUint32(4, little);
  if (list + 2 > view.byteLength) return true;
  const entries = view.getUint16(list, little);
  for (let i = 0; i < entries; i++) {
    const at = list + 2 + 12 * i;
    if (at + 12 > view.byteLength) return true;
    if (view.getUint16(at, little) === 0x0112) return view.getUint16(at + 8, little) !== 1;
  }
  return false;
}

/** Some cameras write more after the end marker; none is missing it. */
function endsWhole(bytes: Uint8Array): boolean {
  for (let i = bytes.length - 2; i >= 2; i--) {
    if (bytes[i] === 0xff && bytes[i + 1] === 0xd9) return true;
  }
  return false;
}
