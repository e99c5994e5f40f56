// Photos brought to size, on a phone whose browser fails in the ways that browsers do. What real
// pictures become, viewer/fieldtest/visit tries.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../../base/globals.test.ts";
import { sizeFor } from "./purpose.ts";
import { frameOf, NotResized, resize } from "./resize.ts";

/** A JPEG of a size in pixels and in bytes: its frame (ITU-T T.81, B.2.2), and an orientation by Exif where it lies on its side. */
function jpeg(width: number, height: number, bytes = 40, turned = false): Uint8Array<ArrayBuffer> {
  const tiff = [0x4d, 0x4d, 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0];
  const exif = turned ? [0xff, 0xe1, 0, 34, ...new TextEncoder().encode("Exif\0\0"), ...tiff] : [];
  const head = [0xff, 0xd8, ...exif, 0xff, 0xc0, 0, 11, 8, height >> 8, height & 255, width >> 8, width & 255, 1, 1, 0x11, 0];
  const file = new Uint8Array(Math.max(bytes, head.length + 12));
  file.set([...head, 0xff, 0xda, 0, 8, 1, 1, 0, 0, 63, 0]);
  file.set([0xff, 0xd9], file.length - 2);
  return file;
}

interface Canvas {
  width: number;
  height: number;
  drew?: Image;
}
interface Image {
  readonly width: number;
  readonly height: number;
  readonly grey?: boolean; // of one colour
  readonly displayWidth?: number;
  readonly displayHeight?: number;
  close(): void;
}

/** What the phone's browser does. */
interface Browser {
  readonly noMemory?: boolean;
  readonly black?: boolean; // large canvases come out empty
  readonly type?: string; // of what it makes in place of a JPEG
  readonly made?: (width: number, height: number) => Uint8Array<ArrayBuffer>;
  /** Bytes of a JPEG of a quality. */
  readonly bytes?: (quality: number) => number;
  readonly grey?: boolean; // what the camera took
  readonly unreadable?: boolean;
  /** The picture as decoded at once to a part of its size, by what was wanted of it. */
  readonly decodes?: (wanted: number) => readonly [number, number];
}

async function onBrowser(is: Browser, whole: readonly [number, number], job: () => Promise<ArrayBuffer>) {
  const did = { qualities: [] as number[], closed: 0, wanted: [] as number[], decoders: 0, drew: "" };
  const image = (width: number, height: number): Image => ({ width, height, grey: is.grey ?? false, close: () => void did.closed++ });
  const createElement = () => {
    const canvas: Canvas & object = {
      width: 300,
      height: 150,
      ...{
        getContext: () =>
          is.noMemory
            ? null
            : {
                drawImage: (from: Image & Canvas, _x: number, _y: number, width: number, height: number) => {
                  assert.deepEqual([width, height], [canvas.width, canvas.height], "the whole of it is drawn on");
                  canvas.drew = from.drew ?? from;
                  if (width > 32) did.drew = `${from.width}x${from.height} as ${width}x${height}`;
                  else if (is.black && from.drew) canvas.drew = { ...from.drew, grey: true };
                },
                getImageData: (_x: number, _y: number, wide: number, high: number) => {
                  assert.deepEqual([wide, high, canvas.width, canvas.height], [32, 32, 32, 32]);
                  assert.ok(canvas.drew, "looked at before anything was drawn");
                  return { data: Uint8ClampedArray.from({ length: 4 * wide * high }, (_, i) => (canvas.drew!.grey ? 90 : i % 200)) };
                },
              },
        toBlob: (give: (blob: Blob) => void, type: string, quality: number) => {
          did.qualities.push(Math.round(quality * 100));
          const bytes = is.made?.(canvas.width, canvas.height) ?? jpeg(canvas.width, canvas.height, is.bytes?.(quality) ?? 1000);
          give(new Blob([bytes], { type: is.type ?? type }));
        },
      },
    };
    return canvas;
  };
  const createImageBitmap = async () => {
    if (is.unreadable) throw new Error("no picture");
    return image(...whole);
  };
  class ImageDecoder {
    constructor(asked: { desiredWidth: number; desiredHeight: number }) {
      did.wanted = [asked.desiredWidth, asked.desiredHeight];
    }
    async decode() {
      const [displayWidth, displayHeight] = is.decodes!(did.wanted[0]!);
      return { image: { ...image(displayWidth, displayHeight), displayWidth, displayHeight } };
    }
    close() {
      did.decoders++;
    }
  }
  const bytes = await withGlobals({ document: { createElement }, createImageBitmap, ...(is.decodes && { ImageDecoder }) }, job);
  return { ...did, bytes: new Uint8Array(bytes) };
}

const record = sizeFor("record");
const resized = (is: Browser, original = jpeg(4000, 3000), whole: readonly [number, number] = [4000, 3000]) =>
  onBrowser(is, whole, () => resize(original.buffer, "record"));

test("a picture that is small enough stays as it is, byte for byte; others come to their size", async () => {
  for (const [original, stays] of [
    [jpeg(record.longSidePx, 10, record.atMostBytes), true],
    [jpeg(10, record.longSidePx + 1), false],
    [jpeg(record.longSidePx + 1, 10), false],
    [jpeg(10, 10, record.atMostBytes + 1), false],
  ] as const)
    assert.equal((await resized({}, original)).bytes.length === original.length, stays);
  const { drew, closed, bytes, qualities } = await resized({});
  assert.deepEqual([drew, closed, bytes.length, qualities], ["4000x3000 as 2048x1536", 1, 1000, [80]]);
});

test("a picture full of grass is made at less quality, until it fits", async () => {
  const most = record.atMostBytes;
  assert.deepEqual((await resized({ bytes: (q) => (q > 0.7 ? most + 1 : most) })).qualities, [80, 68]);
  assert.deepEqual((await resized({ bytes: (q) => (q > 0.41 ? most + 1 : most) })).qualities, [80, 68, 56, 40]);
  await assert.rejects(resized({ bytes: () => most + 1 }), new NotResized("The picture does not get small enough."));
});

test("what a browser makes wrongly is noticed", async () => {
  for (const [is, told] of [
    [{ noMemory: true }, "The phone has no memory left for the smaller copy."],
    [{ black: true }, "The smaller copy came out empty."],
    [{ type: "image/png" }, "The phone could not make the smaller copy."],
    [{ made: (w, h) => jpeg(w - 1, h) }, "The smaller copy came out broken."],
    [{ made: (w, h) => jpeg(w, h - 1) }, "The smaller copy came out broken."],
    [{ made: () => new Uint8Array(9) }, "The smaller copy came out broken."],
    [{ unreadable: true }, "This phone's browser cannot read the picture."],
  ] as readonly [Browser, string][])
    await assert.rejects(resized(is), new NotResized(told), told);
  assert.equal((await resized({ black: true, grey: true })).bytes.length, 1000, "fog is of one colour");
});

test("a picture is decoded at once to as many eighths of its size as are needed, where the browser can", async () => {
  const half = (wanted: number) => [wanted, wanted * 0.75] as const;
  const small = await resized({ decodes: half }, jpeg(4096, 3072));
  assert.deepEqual([small.wanted, small.drew, small.closed, small.decoders], [[2048, 1536], "2048x1536 as 2048x1536", 1, 1]);
  assert.deepEqual((await resized({ decodes: half }, jpeg(4000, 3000))).wanted, [2500, 1875]); // five eighths
  const tooSmall = await resized({ decodes: () => [2047, 1535] });
  assert.deepEqual([tooSmall.drew, tooSmall.closed, tooSmall.decoders], ["4000x3000 as 2048x1536", 2, 1]);
  for (const whole of [jpeg(4000, 3000, 40, true), jpeg(2200, 1000)])
    assert.deepEqual((await resized({ decodes: half }, whole)).wanted, [], "lies on its side, or needs all of it");
});

test("the picture of a video is as large as its purpose asks for, and made smaller once", async () => {
  const video = { videoWidth: 1600, videoHeight: 1200, width: 1600, height: 1200 } as HTMLVideoElement;
  const frame = (is: Browser) => onBrowser(is, [0, 0], () => frameOf(video, "record"));
  const fits = await frame({ bytes: () => record.atMostBytes });
  assert.deepEqual([fits.drew, fits.qualities], ["1600x1200 as 1600x1200", [80]]);
  assert.deepEqual((await frame({ bytes: () => record.atMostBytes + 1 })).qualities, [80, 60]);
});
