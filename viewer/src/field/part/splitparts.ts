// The lines that one recording was split into: the form of each follows the one before. Pure.

/** The address of the form of the first of several items saved together, from which those of the others follow. */
export function fillRoute(all: readonly string[], at = 0): string {
  return `#/thing/${all[at]}/fill${all.length > 1 ? `/${all.join(",")}` : ""}`;
}

export interface Part {
  readonly words: string; // "Part 1 of 2"; "" of one alone
  readonly next: string; // the address to go on to
}

/** Which part an item is, of what the address names as saved together. */
export function partOf(id: string, parts: string | undefined): Part {
  const all = parts?.split(",") ?? [id];
  const at = all.indexOf(id);
  return {
    words: all.length > 1 && at >= 0 ? `Part ${at + 1} of ${all.length}` : "",
    next: at >= 0 && at + 1 < all.length ? fillRoute(all, at + 1) : `#/thing/${id}`,
  };
}
