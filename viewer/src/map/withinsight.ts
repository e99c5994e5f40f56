// A name stays within what is in sight of the map. Pure.

/**
 * By how many pixels a name written in the middle of a place must move sideways to be read
 * whole: the place lies so many pixels from the left and from the right edge of what is in
 * sight, the name is so wide. 0 where the place is out of sight: its name goes with it.
 */
export function sidewaysPx(fromLeftPx: number, fromRightPx: number, widthPx: number): number {
  const half = widthPx / 2;
  if (fromLeftPx < 0 || fromRightPx < 0 || fromLeftPx + fromRightPx < widthPx) return 0;
  return fromLeftPx < half ? half - fromLeftPx : fromRightPx < half ? fromRightPx - half : 0;
}
