// Lengths that a scale bar and the crosses on the map stand for. Pure.

/** The largest of 1, 2 or 5 times a power of ten that is not above the length. */
export function roundBelow(length: number): number {
  if (!(length > 0) || !Number.isFinite(length)) return 1;
  const power = 10 ** Math.floor(Math.log10(length));
  return ([5, 2, 1].find((n) => n * power <= length) ?? 1) * power;
}

export interface ScaleBar {
  metres: number;
  px: number;
  text: string;
}

export function scaleBar(metresPerPx: number, mostPx: number): ScaleBar {
  const metres = roundBelow(metresPerPx * mostPx);
  return { metres, px: metres / metresPerPx, text: metresText(metres) };
}

export function metresText(metres: number): string {
  return metres >= 1000 ? `${metres / 1000}\u00a0km` : `${metres}\u00a0m`;
}
