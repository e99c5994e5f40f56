// What symbols and the names of works take of the map at a resolution: other names are written
// beside them. Pure.

import type { IsFree } from "./nameplace.ts";
import type { Shift } from "./symbolplace.ts";
import { labelBelowPx } from "./symbols.ts";
import { type Box, Boxes, smallPart, type Standing } from "./room.ts";

export const symbolPx = 18; // half of a symbol
const namePx = 10; // half of a name's height

export class Taken {
  private boxes = new Boxes(1);
  private above = new Set<string>(); // whose name stands above its symbol
  private at = -1; // the resolution that both are of

  /** points and what stands may still come; names are half of a work's name, in pixels. */
  constructor(
    private readonly room: (id: string, resolution: number) => Shift | null,
    private readonly standing: readonly Standing[],
    private readonly points: readonly { readonly x: number; readonly y: number }[],
    private readonly names: ReadonlyMap<string, number>,
  ) {}

  readonly isFree: IsFree = (at, halfWidthPx, halfHeightPx, resolution) => {
    this.take(resolution);
    return !this.boxes.meets({ x: at[0]!, y: at[1]!, halfWidth: halfWidthPx * resolution, halfHeight: halfHeightPx * resolution });
  };

  isNameAbove(id: string, resolution: number): boolean {
    this.take(resolution);
    return this.above.has(id);
  }

  private take(resolution: number): void {
    if (this.at === resolution) return;
    [this.boxes, this.above, this.at] = [new Boxes(120 * resolution), new Set(), resolution];
    const { boxes, above } = this;
    const half = symbolPx * resolution;
    for (const { x, y } of this.points) boxes.add({ x, y, halfWidth: half, halfHeight: half });
    const shown = this.standing.flatMap((s) => {
      const shift = this.room(s.id, resolution);
      return shift ? [{ id: s.id, x: s.x + shift[0], y: s.y + shift[1], isSmall: shift[2] === "small" }] : [];
    });
    for (const { x, y, isSmall } of shown) {
      const side = isSmall ? half * smallPart : half;
      boxes.add({ x, y, halfWidth: side, halfHeight: side });
    }
    for (const { id, x, y, isSmall } of shown) {
      const name = this.names.get(id) ?? 0;
      if (isSmall || name === 0) continue;
      const boxAt = (offsetPx: number): Box => ({
        x,
        y: y + offsetPx * resolution,
        halfWidth: name * resolution,
        halfHeight: namePx * resolution,
      });
      const [below, over] = [boxAt(-labelBelowPx), boxAt(labelBelowPx)];
      const isOver = boxes.meets(below) && !boxes.meets(over);
      if (isOver) above.add(id);
      boxes.add(isOver ? over : below);
    }
  }
}
