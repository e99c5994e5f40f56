// Step points: at each step the toe of the boot is on cover or on bare ground, and a thumb
// says which. Pure. Plots judged by eye are counted here too.

export type Point = "cover" | "bare";

export interface Count {
  readonly way: "points" | "plots";
  readonly points: readonly Point[]; // in the order walked, so that the last can be taken back
  readonly plotsPct: readonly number[];
}

export const noCount: Count = { way: "points", points: [], plotsPct: [] };

/** More than a person walks; a phone in a pocket presses for ever. */
const mostPoints = 5000;

export type CountAction =
  | { readonly do: "point"; readonly point: Point }
  | { readonly do: "plot"; readonly pct: number }
  | { readonly do: "undo" }
  | { readonly do: "way"; readonly way: Count["way"] };

export function counted(count: Count, action: CountAction): Count {
  switch (action.do) {
    case "point":
      return count.points.length >= mostPoints ? count : { ...count, points: [...count.points, action.point] };
    case "plot":
      return action.pct >= 0 && action.pct <= 100 ? { ...count, plotsPct: [...count.plotsPct, action.pct] } : count;
    case "undo":
      return count.way === "points" ? { ...count, points: count.points.slice(0, -1) } : { ...count, plotsPct: count.plotsPct.slice(0, -1) };
    case "way":
      return { ...count, way: action.way };
  }
}

export const hits = (count: Count): number => count.points.reduce((n, p) => n + (p === "cover" ? 1 : 0), 0);
export const isEmpty = (count: Count): boolean => (count.way === "points" ? count.points : count.plotsPct).length === 0;
