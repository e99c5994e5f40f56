// Decodes a camera's picture, upright, with no more pixels than are needed.

import { sizeOfJPEG } from "./jpeg.ts";

/** Why a photo could not be brought to size; the original is still there. */
export class NotResized extends Error {}

export interface Picture {
  readonly image: CanvasImageSource;
  readonly width: number;
  readonly height: number;
  close(): void;
}

export async function decoded(original: ArrayBuffer, longSidePx: number): Promise<Picture> {
  const small = await decodedSmall(original, longSidePx).catch(() => undefined);
  if (small) return small;
  try {
    const image = await createImageBitmap(new Blob([original]), { imageOrientation: "from-image" });
    return { image, width: image.width, height: image.height, close: () => image.close() };
  } catch {
    throw new NotResized("This phone's browser cannot read the picture.");
  }
}

/**
 * A JPEG can be decoded to some eighths of its size at a third of the work, where the browser
 * offers it (W3C WebCodecs, section 10.4, desiredWidth). Undefined where it does not, and for
 * pictures that the camera marked as lying on their side, which it leaves lying.
 */
async function decodedSmall(original: ArrayBuffer, longSidePx: number): Promise<Picture | undefined> {
  const whole = sizeOfJPEG(new Uint8Array(original));
  if (!whole || typeof ImageDecoder === "undefined") return undefined;
  const eighths = Math.ceil((8 * longSidePx) / Math.max(whole.width, whole.height));
  if (eighths >= 8 || whole.turned) return undefined;
  const part = (px: number) => Math.ceil((px * eighths) / 8);
  const decoder = new ImageDecoder({
    data: original,
    type: "image/jpeg",
    desiredWidth: part(whole.width),
    desiredHeight: part(whole.height),
  });
  try {
    const { image } = await decoder.decode();
    const picture = { image, width: image.displayWidth, height: image.displayHeight, close: () => image.close() };
    if (Math.max(picture.width, picture.height) >= longSidePx) return picture;
    picture.close();
    return undefined;
  } finally {
    decoder.close();
  }
}
