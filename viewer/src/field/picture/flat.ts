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
