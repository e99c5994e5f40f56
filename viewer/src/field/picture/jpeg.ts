// What the bytes of a JPEG file say of themselves, without decoding them (ITU-T T.81,
// annex B: markers, B.2.2 frame header; from memory).

/** Width and height in pixels as stored; undefined for what is not a whole JPEG file. */
export function sizeOfJPEG(bytes: Uint8Array): { width: number; height: number } | undefined {
  const end = bytes.length;
  if (end < 4 || bytes[0] !== 0xff || bytes[1] !== 0xd8 || !endsWhole(bytes)) return undefined;
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
      return width > 0 && height > 0 ? { width, height } : undefined;
    }
    const length = (bytes[at + 2]! << 8) | bytes[at + 3]!;
    if (length < 2) return undefined;
    at += 2 + length;
  }
  return undefined;
}

/** C0 to CF but for the tables (C4, CC) and the reserved C8. */
const isFrame = (marker: number): boolean => marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;

/** Some cameras write more after the end marker; none is missing it. */
function endsWhole(bytes: Uint8Array): boolean {
  for (let i = bytes.length - 2; i >= 2; i--) {
    if (bytes[i] === 0xff && bytes[i + 1] === 0xd9) return true;
  }
  return false;
}
