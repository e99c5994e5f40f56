// Pictures for tests of screens, and the phone's camera or gallery that gives them.

import assert from "node:assert/strict";
import type { Page } from "../../device/page.test.ts";

export const dam = {
  kind: "check-dam",
  name: "D1",
  status: "built",
  observedOn: "2026-03-01",
  geometry: { type: "Point", coordinates: [146.5, -20.25] },
};

/** A JPEG with nothing in it: its frame is what the page reads (ITU-T T.81, B.2.2). */
export const jpegOf = (width: number, height: number, segment: readonly number[] = []): Uint8Array<ArrayBuffer> =>
  new Uint8Array([
    ...[0xff, 0xd8, ...segment, 0xff, 0xc0, 0, 11, 8, height >> 8, height & 255, width >> 8, width & 255],
    ...[1, 1, 0x11, 0, 0xff, 0xda, 0, 8, 1, 1, 0, 0, 63, 0, 1, 0xff, 0xd9],
  ]);

/** A JPEG whose camera wrote when it was taken, and in degrees, minutes and seconds south and east where, good to 5 m (Exif 2.32, section 4.6; from memory). */
export function withTags(
  taken: string,
  place?: { readonly north: readonly [number, number, number]; readonly east: readonly [number, number, number] },
): Uint8Array<ArrayBuffer> {
  const tiff = new DataView(new ArrayBuffer(300));
  let free = 8;
  const list = (tags: readonly (readonly [tag: number, value: number | string | readonly number[]])[]) => {
    const at = free;
    tiff.setUint16(at, tags.length);
    free += 2 + 12 * tags.length + 4;
    tags.forEach(([tag, value], i) => {
      const entry = at + 2 + 12 * i;
      const bytes = typeof value === "string" ? new TextEncoder().encode(`${value}\0`) : undefined;
      tiff.setUint16(entry, tag);
      tiff.setUint16(entry + 2, bytes ? 2 : typeof value === "number" ? 4 : 5);
      tiff.setUint32(entry + 4, bytes ? bytes.length : typeof value === "number" ? 1 : (value as readonly number[]).length);
      if (typeof value === "number") tiff.setUint32(entry + 8, value);
      else if (bytes && bytes.length <= 4) bytes.forEach((b, j) => tiff.setUint8(entry + 8 + j, b));
      else {
        tiff.setUint32(entry + 8, free);
        if (bytes) for (const b of bytes) tiff.setUint8(free++, b);
        else
          for (const n of value as readonly number[]) {
            tiff.setUint32(free, n);
            tiff.setUint32(free + 4, 1);
            free += 8;
          }
      }
    });
    return at;
  };
  tiff.setUint16(0, 0x4d4d);
  tiff.setUint16(2, 42);
  tiff.setUint32(4, 8);
  free = 8 + 2 + 24 + 4;
  const own = list([[0x9003, taken]]);
  const gps =
    place &&
    list([
      ...([
        [1, "S"],
        [2, place.north],
        [3, "E"],
        [4, place.east],
      ] as const),
      [0x1f, [5]],
    ]);
  const end = free;
  free = 8;
  list([[0x8769, own], ...(gps === undefined ? [] : [[0x8825, gps] as const])]);
  const exif = [...new TextEncoder().encode("Exif\0\0"), ...new Uint8Array(tiff.buffer, 0, end)];
  return jpegOf(8, 6, [0xff, 0xe1, (exif.length + 2) >> 8, (exif.length + 2) & 255, ...exif]);
}

/** The phone's camera or gallery gives a file, or the officer goes back without. */
export async function choose(page: Page, file?: Uint8Array<ArrayBuffer>, atMS = 0): Promise<void> {
  await page.shows(() => page.chooser !== undefined, "a choice of a file");
  const input = page.chooser!;
  assert.equal(input.accept, "image/*");
  assert.ok(input.isConnected, "some browsers forget an input that is nowhere in the page");
  page.chooser = undefined;
  if (file) Object.defineProperty(input, "files", { value: [new File([file], "x.jpg", { type: "image/jpeg", lastModified: atMS })] });
  input.dispatchEvent(new page.window.Event(file ? "change" : "cancel") as unknown as Event);
  await page.rest();
}
