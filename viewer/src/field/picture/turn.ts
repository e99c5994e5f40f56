// Which way to turn so that the camera looks where it looked before. Pure.

/** Degrees to turn, positive to the right, from -180 up to 180. */
export function turnDeg(wantedDeg: number, nowDeg: number): number {
  const turn = (((wantedDeg - nowDeg) % 360) + 540) % 360 - 180;
  return turn === -180 ? 180 : turn;
}

/** Closer than this a phone's compass cannot tell. Common practice, no source. */
const sameDeg = 5;

export function turnWords(wantedDeg: number | undefined, nowDeg: number | undefined): string {
  if (wantedDeg === undefined) return "";
  if (nowDeg === undefined) return `It looked towards ${Math.round(wantedDeg)}°.`;
  const turn = Math.round(turnDeg(wantedDeg, nowDeg));
  if (Math.abs(turn) <= sameDeg) return "You look the same way.";
  return `Turn ${Math.abs(turn)}° to the ${turn > 0 ? "right" : "left"}.`;
}
