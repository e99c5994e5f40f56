// At which size a photo is kept: as large as what it is for needs, and no larger, since all
// of a day's photos cross a thin link. Long side, quality and the most bytes are the page's
// own budget: 200 photos of the usual size are about 120 MB.

export type Purpose = "record" | "detail" | "small";

export interface Size {
  readonly purpose: Purpose;
  readonly label: string;
  readonly hint: string;
  readonly longSidePx: number;
  readonly quality: number; // of the JPEG, 0 to 1
  readonly atMostBytes: number;
}

export const sizes: readonly Size[] = [
  { purpose: "record", label: "Record", hint: "the usual one", longSidePx: 2048, quality: 0.8, atMostBytes: 700_000 },
  { purpose: "detail", label: "Detail", hint: "cracks, soil, a plant", longSidePx: 3072, quality: 0.85, atMostBytes: 1_500_000 },
  { purpose: "small", label: "Small", hint: "a reminder only", longSidePx: 1280, quality: 0.7, atMostBytes: 250_000 },
];

export const sizeFor = (purpose: Purpose): Size => sizes.find((s) => s.purpose === purpose) ?? sizes[0]!;

/** Width and height within a long side, in whole pixels; never larger than they were. */
export function within(longSidePx: number, width: number, height: number): { width: number; height: number } {
  const scale = Math.min(1, longSidePx / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}
