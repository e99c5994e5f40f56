// Brings a photo to the size its purpose asks for, and looks at what came out: canvases
// that are too large for a phone come out black or empty without an error.

import { decoded, NotResized, type Picture } from "./decode.ts";
import { sizeOfJPEG } from "./jpeg.ts";
import { sizeFor, within, type Purpose, type Size } from "./purpose.ts";

export { NotResized };

/** A JPEG of the purpose's size. One that is small enough already stays byte for byte. */
export async function resize(original: ArrayBuffer, purpose: Purpose): Promise<ArrayBuffer> {
  const size = sizeFor(purpose);
  const known = sizeOfJPEG(new Uint8Array(original));
  if (known && Math.max(known.width, known.height) <= size.longSidePx && original.byteLength <= size.atMostBytes) return original;
  const picture = await decoded(original, size.longSidePx);
  try {
    return await encoded(picture, size);
  } finally {
    picture.close();
  }
}

async function encoded(picture: Picture, size: Size): Promise<ArrayBuffer> {
  const canvas = drawn(picture.image, within(size.longSidePx, picture.width, picture.height));
  if (oneColour(canvas) && !oneColour(picture.image)) throw new NotResized("The smaller copy came out empty.");
  // A picture full of grass may need a lower quality to stay within its size.
  for (const quality of [size.quality, size.quality - 0.12, size.quality - 0.24, size.quality - 0.4]) {
    const bytes = await jpegOf(canvas, quality);
    const made = sizeOfJPEG(new Uint8Array(bytes));
    if (made?.width !== canvas.width || made.height !== canvas.height) throw new NotResized("The smaller copy came out broken.");
    if (bytes.byteLength <= size.atMostBytes) return bytes;
  }
  throw new NotResized("The picture does not get small enough.");
}

function drawn(picture: CanvasImageSource, { width, height }: { width: number; height: number }): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [width, height];
  // In main memory: a camera's picture may be larger than what the graphics unit takes, and
  // it is read back at once.
  const pen = canvas.getContext("2d", { alpha: false, willReadFrequently: true });
  if (!pen) throw new NotResized("The phone has no memory left for the smaller copy.");
  pen.imageSmoothingQuality = "medium"; // "high" differs only where a picture is enlarged
  pen.drawImage(picture, 0, 0, width, height);
  return canvas;
}

async function jpegOf(canvas: HTMLCanvasElement, quality: number): Promise<ArrayBuffer> {
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
  if (blob?.type !== "image/jpeg") throw new NotResized("The phone could not make the smaller copy.");
  return blob.arrayBuffer();
}

/** Whether a picture, looked at through 32 by 32 points, is of one colour. */
export function oneColour(picture: CanvasImageSource): boolean {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 32;
  const pen = canvas.getContext("2d", { alpha: false, willReadFrequently: true })!;
  pen.drawImage(picture, 0, 0, 32, 32);
  return isFlat(pen.getImageData(0, 0, 32, 32).data);
}

/** The camera's picture as it stands in a video, as a JPEG of the purpose's size. */
export async function frameOf(video: HTMLVideoElement, purpose: Purpose): Promise<ArrayBuffer> {
  const size = sizeFor(purpose);
  const canvas = drawn(video, within(size.longSidePx, video.videoWidth, video.videoHeight));
  const bytes = await jpegOf(canvas, size.quality);
  return bytes.byteLength <= size.atMostBytes ? bytes : jpegOf(canvas, size.quality - 0.2);
}

/** RGBA samples that all but equal each other: within what JPEG itself may add. */
export function isFlat(rgba: ArrayLike<number>): boolean {
  for (let channel = 0; channel < 3; channel++) {
    let [least, most] = [255, 0];
    for (let i = channel; i < rgba.length; i += 4) {
      const v = rgba[i]!;
      if (v < least) least = v;
      if (v > most) most = v;
    }
    if (most - least > 3) return false;
  }
  return true;
}
