// From the angles of a phone to the direction it points.

const rad = Math.PI / 180;

/**
 * Degrees clockwise from north in which the phone points: its camera when it is held up,
 * the upper edge of its screen when it lies flatter than 45°. The angles are those of
 * DeviceOrientationEvent, which turns Z, X', Y'' (W3C Device Orientation and Motion,
 * section 3.1); the columns of R = Z X Y are the phone's axes in east, north, up. Null
 * where it points straight up or down.
 */
export function compassDeg(alphaDeg: number, betaDeg: number, gammaDeg: number, screenDeg: number): number | null {
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
  if (Math.hypot(east, north) < 1e-6) return null;
  return (Math.atan2(east, north) / rad + 360) % 360;
}
