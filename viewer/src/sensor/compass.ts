// From the angles of a phone to the direction it points.

const rad = Math.PI / 180;

/**
 * Degrees clockwise from north in which the phone points: its camera when it is held up,
 * the upper edge of its screen when it lies flatter than 45°. The angles are those of
 * DeviceOrientationEvent, which turns Z, X', Y'' (W3C Device Orientation and Motion,
 * section 3.1); the columns of R = Z X Y are the phone's axes in east, north, up.
 */
export function compassDeg(alphaDeg: number, betaDeg: number, gammaDeg: number, screenDeg: number): number {
  const [cz, sz] = [Math.cos(alphaDeg * rad), Math.sin(alphaDeg * rad)];
  const [cx, sx] = [Math.cos(betaDeg * rad), Math.sin(betaDeg * rad)];
  const [cy, sy] = [Math.cos(gammaDeg * rad), Math.sin(gammaDeg * rad)];
  const right = { east: cz * cy - sz * sx * sy, north: sz * cy + cz * sx * sy };
  const top = { east: -sz * cx, north: cz * cx };
  const back = { east: -(cz * sy + sz * sx * cy), north: -(sz * sy - cz * sx * cy), up: -(cx * cy) };
  const flat = Math.abs(back.up) > Math.SQRT1_2;
  // The upper edge of the screen is the phone's top turned by the screen's own angle.
  const [c, s] = [Math.cos(screenDeg * rad), Math.sin(screenDeg * rad)];
  const upper = { east: top.east * c + right.east * s, north: top.north * c + right.north * s };
  const { east, north } = flat ? upper : back;
  return (Math.atan2(east, north) / rad + 360) % 360;
}

/** Degrees to turn, positive to the right, from -180 up to 180. */
export function turnDeg(wantedDeg: number, nowDeg: number): number {
  const turn = ((((wantedDeg - nowDeg) % 360) + 540) % 360) - 180;
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
